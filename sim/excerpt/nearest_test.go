package excerpt

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The distances are the textbook's: kitten to sitting is 3 (from memory;
// Wagner and Fischer 1974).
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"", "abc", 3}, {"abc", "", 3}, {"same", "same", 0}, {"aux2", "aux3", 1}} {
		assert.Equal(t, c.want, edits(c.a, c.b), "%s, %s", c.a, c.b)
		assert.Equal(t, c.want, edits(c.b, c.a), "%s, %s", c.b, c.a)
	}
}

func TestNearest(t *testing.T) {
	keys := []string{"min_press", "min_gap", "long_press"}
	near, ok := Nearest("min_pres", keys)
	assert.True(t, ok)
	assert.Equal(t, "min_press", near)
	_, ok = Nearest("altitude", keys)
	assert.False(t, ok, "nothing is similar enough")
	_, ok = Nearest("min_press", nil)
	assert.False(t, ok)
}
