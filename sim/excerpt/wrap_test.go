package excerpt

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct{ name, mark, text, want string }{
		{"nothing", "- ", "", "- "},
		{"one line that just fits", "", "hold it now", "hold it now"},
		{"a line that is one too long", "", "hold it now!", "hold it\nnow!"},
		{"under its mark", "- ", "hold it now", "- hold it\n  now"},
		{"a word that is too long", "", "a transmitter on", "a\ntransmitter\non"},
		{"lines stay apart", "", "hold\nit now", "hold\nit now"},
		{"characters, not bytes", "→ ", "µµµµ µµµµ", "→ µµµµ µµµµ"},
		{"spaces are joined", "", " hold   it ", "hold it"},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, Wrap(c.mark, c.text, 11)) })
	}
}
