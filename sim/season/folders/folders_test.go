package folders

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/bmff/bmfftest"
	"flicktally/sim/season"
)

func put(t *testing.T, root, name, text string) {
	path := filepath.Join(root, filepath.FromSlash(name))
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
}

const log = "time_us,aux2\n0,1000\n20000,1000\n"

// TestWhatLiesBesideALogIsFound walks a folder with every kind of thing in it.
func TestWhatLiesBesideALogIsFound(t *testing.T) {
	root := t.TempDir()
	put(t, root, "sat/a.csv", log)
	put(t, root, "sat/b.csv", log)
	put(t, root, "sat/b-clips.csv", "duration\n3s\n")
	put(t, root, "sat/seen.txt", "# the light\na.csv@0:01=recording\n\n")
	put(t, root, "sat/card/100/one.mp4", string(bmfftest.Video(3*time.Second, time.Date(2026, 6, 13, 10, 0, 0, 0, time.UTC))))
	put(t, root, "sun/deep/er/c.csv", log)
	put(t, root, "sun/deep/er/flight.toml", "note = \"gusts\"\nclips = [\"../list.csv\"]\nrig = \"r.toml\"\n")
	put(t, root, "sun/deep/list.csv", "duration\n3s\n")
	put(t, root, "trials.csv", "hold,outcome\n80ms,nothing\n")
	put(t, root, "heron.toml", "name = \"Heron\"\n")
	put(t, root, "sat/chart.png", "png")
	put(t, root, "sat/empty.csv", "")
	put(t, root, "sat/.hidden.csv", log)
	put(t, root, ".trash/d.csv", log)
	require.NoError(t, os.Symlink(filepath.Join(root, "sat"), filepath.Join(root, "link")))

	found, err := Find(root, filepath.Join(root, "sat"))
	require.NoError(t, err)
	require.Len(t, found.Outings, 3, "b.csv has a list of its own; a folder that is named twice counts once")
	own, shared, deep := found.Outings[0], found.Outings[1], found.Outings[2]
	require.Equal(t, "b.csv", filepath.Base(own.Logs[0].Path))
	require.Equal(t, "b-clips.csv", filepath.Base(own.Lists[0]))
	require.Equal(t, "a.csv", filepath.Base(shared.Logs[0].Path))
	require.Len(t, shared.Videos, 1, "the card lies in a folder without logs")
	require.Equal(t, []string{"a.csv@0:01=recording"}, shared.Seen)
	require.Equal(t, shared.Seen, own.Seen, "Read assigns the glances to the logs")
	require.Equal(t, "gusts", deep.Note)
	require.Equal(t, filepath.Join(root, "sun/deep/er/r.toml"), deep.Rig)
	require.Equal(t, filepath.Join(root, "sun/deep/list.csv"), deep.Lists[0])
	require.Len(t, found.Trials, 1)
	left := map[string]string{}
	for _, l := range found.LeftOut {
		left[filepath.Base(l.File)] = l.Why
	}
	require.Equal(t, map[string]string{
		"chart.png": "no log: a result, or a text", "empty.csv": "it is empty", "link": "it is no plain file",
		"list.csv": "there is no log in or above its folder",
	}, left)
}

// TestClipsWithoutALogAreLeftOut: clips that belong to no log, or to logs that
// have other clips, are reported.
func TestClipsWithoutALogAreLeftOut(t *testing.T) {
	root := t.TempDir()
	video := string(bmfftest.Video(3*time.Second, time.Date(2026, 6, 13, 10, 0, 0, 0, time.UTC)))
	put(t, root, "own/a.csv", log)
	put(t, root, "own/a-clips.csv", "duration\n3s\n")
	put(t, root, "own/more.csv", "duration\n4s\n")
	put(t, root, "own/card/one.mp4", video)
	put(t, root, "shared/b.csv", log)
	put(t, root, "shared/flight.toml", "clips = [\"list.csv\"]\n")
	put(t, root, "shared/list.csv", "duration\n3s\n")
	put(t, root, "shared/two.mp4", video)
	found, err := Find(root)
	require.NoError(t, err)
	require.Len(t, found.Outings, 2)
	own, shared := found.Outings[0], found.Outings[1]
	require.Equal(t, []string{filepath.Join(root, "own/a-clips.csv")}, own.Lists)
	require.Equal(t, []string{filepath.Join(root, "shared/list.csv")}, shared.Lists, "named twice")
	left := map[string]string{}
	for _, l := range found.LeftOut {
		left[filepath.Base(l.File)] = l.Why
	}
	require.Equal(t, map[string]string{
		"more.csv": "each log in its folder has a list of clips of its own", "one.mp4": "each log in its folder has a list of clips of its own",
		"two.mp4": "a list of clips lies beside the same logs",
	}, left)
}

func TestAFolderThatIsNoneIsAnError(t *testing.T) {
	_, err := Find(filepath.Join(t.TempDir(), "none"))
	require.ErrorIs(t, err, os.ErrNotExist)
	file := filepath.Join(t.TempDir(), "a.csv")
	put(t, filepath.Dir(file), "a.csv", log)
	_, err = Find(file)
	require.ErrorContains(t, err, "is no folder")
}

func TestAWrongSettingIsNamedWithItsPlace(t *testing.T) {
	root := t.TempDir()
	put(t, root, "a.csv", log)
	put(t, root, "flight.toml", "note = \"calm\"\nrig = 7\n")
	found, err := Find(root)
	require.NoError(t, err)
	require.Len(t, found.Outings, 1)
	require.Contains(t, found.LeftOut[0].Why, "line 2")
	put(t, root, "flight.toml", "colour = \"red\"\n")
	found, err = Find(root)
	require.NoError(t, err)
	require.Contains(t, found.LeftOut[0].Why, "want rig, clips, seen or note")
}

// TestWhatIsKeptFitsOrIsNotUsed: a kept result is used until one of its inputs
// changes.
func TestWhatIsKeptFitsOrIsNotUsed(t *testing.T) {
	root, data := t.TempDir(), filepath.Join(t.TempDir(), "season")
	put(t, root, "a.csv", log)
	put(t, root, "seen.txt", "0:01=recording\n")
	key := func() string {
		found, err := Find(root)
		require.NoError(t, err)
		return found.Outings[0].Key("rig")
	}
	first := key()
	o := season.Outing{Folder: "lake", Flights: []season.Flight{{File: "a.csv", Flicks: 3, Held: []season.Flick{}}}, Evidence: season.Evidence{0, -5}}
	(&cache{data, false}).Put(first, o)
	got, ok := (&cache{data, false}).Get(first)
	require.True(t, ok)
	require.Equal(t, o, got)
	_, ok = (&cache{data, true}).Get(first)
	require.False(t, ok, "fresh")

	require.NoError(t, os.WriteFile(filepath.Join(data, first+".json"), []byte("{torn"), 0o666))
	_, ok = (&cache{data, false}).Get(first)
	require.False(t, ok, "a torn result")

	put(t, root, "seen.txt", "0:02=recording\n")
	require.NotEqual(t, first, key())
	put(t, root, "seen.txt", "0:01=recording\n")
	put(t, root, "a.csv", log+"40000,1000\n")
	require.NotEqual(t, first, key())
	(&cache{"", false}).Put(first, o)
	_, ok = (&cache{"", false}).Get(first)
	require.False(t, ok)
}

// TestAnotherVersionReadsAgain: what one version of the program cached is not another's.
func TestAnotherVersionReadsAgain(t *testing.T) {
	options := func(version string) string {
		return (&worker{Reading: Reading{Version: version}}).options(sim.DefaultRig())
	}
	require.Equal(t, options("v1.0.0"), options("v1.0.0"))
	require.NotEqual(t, options("v1.0.0"), options("v1.1.0"))
}
