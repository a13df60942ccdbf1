package rigfile_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/rigfile"
)

// measured is a rig as it comes from the bench.
func measured() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Camera.MinPress = sim.Interval{Low: 90 * sim.Millisecond, High: 95 * sim.Millisecond}
	rig.Camera.MinGap = 5 * sim.Millisecond
	return rig
}

func TestEdit(t *testing.T) {
	both := []string{"camera.min_press", "camera.min_gap"}
	tests := []struct {
		rule       string
		keys       []string
		text, want string
	}{
		{"a value is replaced where it stands", both,
			"# Heron\n[camera]\n  min_gap   = \"0s\"  # bench, in May\n  min_press = '80ms'#?\n\n[line]\n",
			"# Heron\n[camera]\n  min_gap   = \"5ms\"  # bench, in May\n  min_press = [\"90ms\", \"95ms\"]#?\n\n[line]\n"},
		{"a value over several lines becomes one line", both[:1],
			"[camera]\nmin_press = [\n  \"1ms\", # low\n  \"2ms\",\n] # after\nmin_gap = \"0s\"\n",
			"[camera]\nmin_press = [\"90ms\", \"95ms\"] # after\nmin_gap = \"0s\"\n"},
		{"a new key comes last in its table", both,
			"[camera]\nboot = \"3s\"\n\n# the wire\n[line]\n",
			"[camera]\nboot = \"3s\"\nmin_press = [\"90ms\", \"95ms\"]\nmin_gap = \"5ms\"\n\n# the wire\n[line]\n"},
		{"a new key follows the header of an empty table", both[1:],
			"[camera] # mine\n# boot = \"3s\"\n",
			"[camera] # mine\nmin_gap = \"5ms\"\n# boot = \"3s\"\n"},
		{"a new key is indented like the one above", both[1:],
			"[camera]\n\tboot = \"3s\"",
			"[camera]\n\tboot = \"3s\"\n\tmin_gap = \"5ms\"\n"},
		{"a new table comes last", both[1:],
			"name = \"Heron\"\n",
			"name = \"Heron\"\n\n[camera]\nmin_gap = \"5ms\"\n"},
		{"a new table after a torn last line", both[1:],
			"name = \"Heron\"",
			"name = \"Heron\"\n\n[camera]\nmin_gap = \"5ms\"\n"},
		{"an empty file gets the table", both[1:], "", "[camera]\nmin_gap = \"5ms\"\n"},
		{"a table of dotted keys gets a dotted key", both[1:],
			"camera.boot = \"3s\"\nname = \"\"\n[line]\n",
			"camera.boot = \"3s\"\ncamera.min_gap = \"5ms\"\nname = \"\"\n[line]\n"},
		{"a table in braces gets the key inside", both,
			"camera = { boot = \"3s\" } # short\n",
			"camera = { min_gap = \"5ms\", min_press = [\"90ms\", \"95ms\"], boot = \"3s\" } # short\n"},
		{"empty braces get the key inside", both[1:], "camera = {}\n", "camera = { min_gap = \"5ms\" }\n"},
		{"a key of the top comes first", []string{"name"},
			"\ufeff# Heron\n[line]\n",
			"\ufeffname = \"Heron\"\n# Heron\n[line]\n"},
		{"line ends stay CR LF", both,
			"[camera]\r\nboot = \"3s\"\r\n",
			"[camera]\r\nboot = \"3s\"\r\nmin_press = [\"90ms\", \"95ms\"]\r\nmin_gap = \"5ms\"\r\n"},
		{"no keys, no change", nil, "# Heron", "# Heron"},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			got, err := rigfile.Edit([]byte(test.text), "heron.toml", measured(), test.keys...)
			require.NoError(t, err)
			assert.Equal(t, test.want, string(got))
			requireEdited(t, []byte(test.text), measured(), test.keys)
		})
	}
}

// requireEdited checks that editing a file changes the given keys and no
// other, and changes nothing when done again.
func requireEdited(t require.TestingT, data []byte, rig sim.Rig, keys []string) {
	before, err := rigfile.Parse(data, "heron.toml")
	require.NoError(t, err)
	edited, err := rigfile.Edit(data, "heron.toml", rig, keys...)
	require.NoError(t, err)
	after, err := rigfile.Parse(edited, "heron.toml")
	require.NoError(t, err)

	given := before.Given
	for _, key := range keys {
		given[key] = true
		switch key {
		case "name":
			before.Rig.Name = rig.Name
		case "camera.min_press":
			before.Rig.Camera.MinPress = rig.Camera.MinPress
		case "camera.min_gap":
			before.Rig.Camera.MinGap = rig.Camera.MinGap
		default:
			t.Errorf("key %q is not checked here", key)
		}
	}
	require.Equal(t, before.Rig, after.Rig)
	require.Equal(t, given, after.Given)

	again, err := rigfile.Edit(edited, "heron.toml", rig, keys...)
	require.NoError(t, err)
	require.Equal(t, string(edited), string(again))
}

func TestEditOfAnyRig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := drawRig(t)
		if rig.Camera.LongPress.Low <= measured().Camera.MinPress.High {
			t.Skip("no press window is left")
		}
		keys := rapid.SliceOfDistinct(rapid.SampledFrom([]string{"name", "camera.min_press", "camera.min_gap"}),
			rapid.ID[string]).Draw(t, "keys")
		requireEdited(t, rigfile.Format(rigfile.File{Rig: rig}), measured(), keys)
	})
}

// TestEditMeasured: a default file no longer calls the measured values examples, and
// names them once, whichever is measured first; other remarks stay.
func TestEditMeasured(t *testing.T) {
	const least, long = "camera.min_press", "camera.long_press"
	text := func(data []byte) string { return string(data) }
	edit := func(data []byte, keys ...string) []byte {
		edited, err := rigfile.EditMeasured(data, "heron.toml", measured(), keys...)
		require.NoError(t, err)
		return edited
	}
	first := edit(rigfile.Default(), least)
	assert.Contains(t, text(first), "[camera]                      # min_press is measured; the others are EXAMPLES\n")
	both := edit(first, long)
	assert.Equal(t, text(both), text(edit(edit(rigfile.Default(), long), least)))
	assert.Equal(t, text(both), text(edit(both, least)))
	assert.Contains(t, text(both), "[camera]                      # min_press and long_press are measured; the others are EXAMPLES\n")
	assert.NotContains(t, text(both), "until you have measured")

	assert.Equal(t, "[camera] # mine, EXAMPLES\nmin_press = [\"90ms\", \"95ms\"]\n",
		text(edit([]byte("[camera] # mine, EXAMPLES\nmin_press = \"80ms\"\n"), least)))
	_, err := rigfile.EditMeasured([]byte("x = 1"), "heron.toml", measured(), least)
	require.ErrorContains(t, err, "x: unknown key")
}

func TestEditRefuses(t *testing.T) {
	_, err := rigfile.Edit([]byte("x = 1"), "heron.toml", measured(), "camera.min_gap")
	require.ErrorContains(t, err, "heron.toml:1:1: x: unknown key")

	rig := measured()
	rig.Camera.MinPress = sim.Exactly(2 * sim.Second)
	_, err = rigfile.Edit([]byte("[camera]\n"), "heron.toml", rig, "camera.min_press")
	require.ErrorContains(t, err, "cannot change camera.min_press: heron.toml:1:2: camera.long_press: ")
	var list rigfile.Errors
	require.ErrorAs(t, err, &list)

	assert.PanicsWithValue(t, `internal error: no key "camera.min" in a rig file`, func() {
		_, _ = rigfile.Edit(nil, "heron.toml", rig, "camera.min")
	})
}
