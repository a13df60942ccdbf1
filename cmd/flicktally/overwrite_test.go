//go:build unix

package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What each command reads, by the names of the files that readFolder makes. Every
// command that writes a file is here, with each kind of file that it may read.
var overwriters = []struct {
	line  string // what is read comes by its name, and the output behind it
	reads []string
	says  string
}{
	{"chart --force --rig rig.svg --clips clips.svg log.svg -o", []string{"rig.svg", "clips.svg", "log.svg"}, "as both input and output"},
	{"report --force --rig rig.html --clips clips.html log.html -o", []string{"rig.html", "clips.html", "log.html"}, "as both input and output"},
	{"export --force --rig rig.csv --clips clips.csv log.csv -o", []string{"rig.csv", "clips.csv", "log.csv"}, "as both input and output"},
	{"export --force --kind log log.csv -o", []string{"log.csv"}, "as both input and output"},
	{"compare --force --rig rig.svg --with camera.boot=5s log.svg -o", []string{"rig.svg", "log.svg"}, "as both input and output"},
	{"calibrate --force trials.svg -o", []string{"trials.svg"}, "as both input and output"},
	{"calibrate trials.csv --update", []string{"trials.csv"}, "not valid TOML"},
	{"calibrate --clips clips.csv log.csv --update", []string{"clips.csv", "log.csv"}, "not valid TOML"},
	{"odds --force --rig rig.svg -o", []string{"rig.svg"}, "as both input and output"},
	{"season --force --data data --rig rig.csv flights -o", []string{"rig.csv", "flights/log.csv", "flights/clips.csv"}, "as both input and output"},
	{"season --data data flights --update", []string{"flights/log.csv", "flights/clips.csv"}, "not valid TOML"},
	{"progress --force --data data --kind holds -o", []string{"data/practice.jsonl"}, ""},
	{"bench --force --rig rig.html -o", []string{"rig.html"}, "as both input and output"},
	{"live --force --no-follow --plain --rig rig.csv --clips clips.csv log.csv --record", []string{"rig.csv", "clips.csv", "log.csv"}, "as both input and output"},
	{"live --force --no-follow --jsonl --rig rig.csv --clips clips.csv log.csv --final", []string{"rig.csv", "clips.csv", "log.csv"}, "as both input and output"},
}

// spellings are ways to name a file twice: they return the name to write and the
// one to read.
var spellings = map[string]func(t *testing.T, folder, name string) (write, read string){
	"the same":         func(_ *testing.T, _, name string) (string, string) { return name, name },
	"by another way":   func(_ *testing.T, _, name string) (string, string) { return "data/.././" + name, name },
	"by the whole way": func(_ *testing.T, folder, name string) (string, string) { return filepath.Join(folder, name), name },
	"through a link": func(t *testing.T, folder, name string) (string, string) {
		return linked(t, folder, name, os.Symlink), name
	},
	"as a second name": func(t *testing.T, folder, name string) (string, string) {
		return linked(t, folder, name, os.Link), name
	},
	"read through a link": func(t *testing.T, folder, name string) (string, string) {
		return name, linked(t, folder, name, os.Symlink)
	},
}

// linked gives a file of a folder another name.
func linked(t *testing.T, folder, name string, link func(from, to string) error) string {
	t.Helper()
	other := "other" + filepath.Ext(name)
	require.NoError(t, link(filepath.Join(folder, name), filepath.Join(folder, other)))
	return other
}

// No command overwrites a file that it reads, whatever the file is called and even
// with --force: nothing changes, and no new file is left.
func TestWhatWasReadIsNeverWrittenOver(t *testing.T) {
	t.Parallel()
	files := readFolder(t)
	for _, w := range overwriters {
		for _, name := range w.reads {
			for spelt, spell := range spellings {
				t.Run(w.line+" "+name+", "+spelt, func(t *testing.T) {
					t.Parallel()
					defer compute()()
					folder := copyOf(t, files)
					write, read := spell(t, folder, name)
					args := append(strings.Fields(w.line), write)
					for i, arg := range args[:len(args)-1] {
						if arg == name {
							args[i] = read
						}
					}
					command := asFlicktally(args...)
					command.Dir = folder
					before := contents(t, folder)
					said, err := command.CombinedOutput()
					require.Error(t, err, "%s", said)
					require.Contains(t, string(said), w.says)
					require.NotContains(t, string(said), "goroutine ")
					require.Equal(t, before, contents(t, folder))
				})
			}
		}
	}
}

// readFolder returns a folder with one of everything that commands read, with the
// ending that a command's output would have.
func readFolder(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	for _, in := range []string{"", "flights", "data"} {
		require.NoError(t, os.MkdirAll(filepath.Join(folder, in), 0o700))
	}
	for name, content := range map[string]string{
		"log":    "time_us,aux2\n0,1000\n10000000,2000\n10300000,1000\n20000000,1000\n",
		"clips":  "duration\n9.7s\n",
		"trials": "hold,outcome\n80ms,nothing\n90ms,toggled\n1s,toggled\n2s,long\n",
		"rig":    "name = \"Heron\"\n[camera]\nmin_press = [\"60ms\", \"110ms\"]\n",
	} {
		for _, ending := range []string{".csv", ".svg", ".html"} {
			require.NoError(t, os.WriteFile(filepath.Join(folder, name+ending), []byte(content), 0o600))
			if name == "log" || name == "clips" {
				require.NoError(t, os.WriteFile(filepath.Join(folder, "flights", name+ending), []byte(content), 0o600))
			}
		}
	}
	hostileJournal(t, filepath.Join(folder, "data"))
	return folder
}

// contents returns the contents of a folder's files by name, without the cache that
// season keeps beside the journal.
func contents(t *testing.T, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err == nil && path == filepath.Join(folder, "data", "season"):
			return fs.SkipDir
		case err != nil || entry.IsDir():
			return err
		}
		content, err := os.ReadFile(path)
		all[path] = string(content)
		return err
	}))
	return all
}
