package rigfile_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/rigfile"
)

func TestDefaultFileIsTheDefaultRig(t *testing.T) {
	file, err := rigfile.Parse(rigfile.Default(), "default.toml")
	require.NoError(t, err)
	want := sim.DefaultRig()
	want.Name = "Heron"
	assert.Equal(t, want, file.Rig)
}
