package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
)

func TestOneOf(t *testing.T) {
	assert.Equal(t, ``, sim.OneOf([]string{}))
	assert.Equal(t, `"csv"`, sim.OneOf([]string{"csv"}))
	assert.Equal(t, `"high" or "low"`, sim.OneOf([]string{"high", "low"}))
	assert.Equal(t, `"auto", "us" or "ms"`, sim.OneOf([]sim.TimeUnit{"auto", "us", "ms"}))
}
