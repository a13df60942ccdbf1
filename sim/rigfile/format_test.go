package rigfile_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/rigfile"
)

func TestFormatReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := drawRig(t)
		require.NoError(t, rig.Validate())
		file := mustParse(t, string(rigfile.Format(rigfile.File{Rig: rig})))
		require.Equal(t, rig, file.Rig)
	})
}

func TestFormatMarksWhatWasNotGiven(t *testing.T) {
	file := mustParse(t, "name = \"Heron\"\n[link]\nloss = 0\n[camera]\nlong_press = \"1.5s\"\n")
	file.Rig.Line.Update = 20 * sim.Millisecond // set by the program, not by the file
	got := string(rigfile.Format(file))
	for _, line := range []string{
		`name = "Heron"`,
		`frame = "0s" # default`,
		`loss  = 0`, // given, though it is the default
		`update   = "20ms"`,
		`delay    = "0s"       # default`,
		`min_press     = "80ms" # example`,
		`long_press    = "1.5s"`,
	} {
		assert.Contains(t, got, "\n"+line+"\n")
	}
	assert.Contains(t, got, "measure yours at the bench")
}

func TestFormatKeepsWhatATerminalWouldActOnEscaped(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Name = "Heron\x1b[2J\u202e\U000e0001\n\"\\"
	got := rigfile.Format(rigfile.File{Rig: rig})
	assert.Contains(t, string(got), `name = "Heron\u001B[2J\u202E\U000E0001\u000A\"\\"`)
	assert.Equal(t, rig, mustParse(t, string(got)).Rig)
}

func TestDefaultFileIsTheDefaultRig(t *testing.T) {
	file := mustParse(t, string(rigfile.Default()))
	want := sim.DefaultRig()
	want.Name = "Heron"
	assert.Equal(t, want, file.Rig)
}

func TestDefaultFileHasEveryKeyWithAComment(t *testing.T) {
	// The keys without a default are there to be uncommented.
	text := strings.NewReplacer("# channel =", "channel =", "# armed =", "armed =").Replace(string(rigfile.Default()))
	file := mustParse(t, text)
	want := sim.DefaultRig()
	want.Name, want.Log.Channel, want.Log.Armed = "Heron", "aux2", "arm"
	assert.Equal(t, want, file.Rig)

	every := mustParse(t, string(rigfile.Format(rigfile.File{Rig: sim.DefaultRig()})))
	assert.Equal(t, every.Given, file.Given)
	for line := range strings.Lines(text) {
		if strings.Contains(line, " = ") && !strings.HasPrefix(line, "name") && !strings.HasPrefix(line, "#") {
			assert.Contains(t, line, " # ")
		}
	}
}

func TestDefaultFileWarns(t *testing.T) {
	text := string(rigfile.Default())
	for _, caution := range []string{"EXAMPLES", "propellers off", "battery", "Local rules"} {
		assert.Contains(t, text, caution)
	}
}
