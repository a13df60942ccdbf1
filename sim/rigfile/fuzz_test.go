package rigfile_test

import (
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"

	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

// seeds are files of every shape: good ones, and each kind of bad one.
var seeds = []string{
	"",
	"\ufeff# Heron\r\n[camera]\r\nmin_press = [\"60ms\", \"110ms\"]\r\n",
	string(rigfile.Default()),
	"camera = { min_press = \"90ms\", boot = '''4s''' }\nlog.channel = \"#7\"\nname = \"\"\"\n\"He\\\n  ron\"\"\"\"",
	"\"camera\" . 'boot' = \"1m\" # c\nswitch.press = [ # c\n[ 0x10, 2_0.5e1 ], [ +inf, nan ] ,\n]",
	"[[camera]]\n[camera.boot]\nx = { a = [ { b = 1 } ] }\n",
	"[camera]\nmin_press = 80\n[camera]\n",
	"camera = {\n  # c\n}\n",
	"a = 1\na = 2",
	"name = \"\\u001b\\uD800\"",
	"d = 1979-05-27T07:32:00-08:00\nt = 07:32:00\nn = 99999999999999999999",
	"# \xff",
	"x = [[[[[[",
}

func FuzzParse(f *testing.F) {
	for _, seed := range seeds {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := rigfile.Parse(data, "heron.toml")
		if err != nil {
			requirePlaced(t, data, err)
			return
		}
		require.NoError(t, file.Rig.Validate())
		again := mustParse(t, string(rigfile.Format(file)))
		require.Equal(t, file.Rig, again.Rig)
	})
}

// requirePlaced checks that every error has a place in the file and shows nothing
// that a terminal would act on.
func requirePlaced(t *testing.T, data []byte, err error) {
	var list rigfile.Errors
	require.ErrorAs(t, err, &list)
	require.NotEmpty(t, list)
	lines := strings.Split(string(data), "\n")
	for _, err := range list {
		var e *rigfile.Error
		require.ErrorAs(t, err, &e)
		require.True(t, e.Line >= 1 && e.Line <= len(lines), "line %d", e.Line)
		require.True(t, e.Column >= 1 && e.Column <= len([]rune(lines[e.Line-1]))+1, "column %d", e.Column)
		for _, r := range problem.Explain(err) {
			require.True(t, r == '\n' || unicode.IsPrint(r), "%q in %q", r, problem.Explain(err))
		}
		require.NotContains(t, e.Error(), "\n")
	}
}

func FuzzEdit(f *testing.F) {
	for _, seed := range seeds {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := rigfile.Parse(data, "heron.toml")
		if err != nil || file.Rig.Camera.LongPress.Low <= measured().Camera.MinPress.High || len(data) > 60<<10 {
			return
		}
		requireEdited(t, data, measured(), []string{"camera.min_press", "name", "camera.min_gap"})
	})
}
