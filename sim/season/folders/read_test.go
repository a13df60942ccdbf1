package folders

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/bmff/bmfftest"
	"flicktally/sim/files"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/season"
)

// flown returns a log of flicks with holds in ms, one every 5 s.
func flown(holds ...int) string {
	var rows strings.Builder
	rows.WriteString("time_ms,aux2\n")
	for at := 0; at < 5000*(len(holds)+1); at += 20 {
		value := 1000
		if n := at / 5000; n > 0 && at%5000 < holds[n-1] {
			value = 2000
		}
		fmt.Fprintf(&rows, "%d,%d\n", at, value)
	}
	return rows.String()
}

// reading reads a season with the default rig, without cached results.
func reading() Reading {
	rig := sim.DefaultRig()
	rig.Log.Channel = "aux2"
	rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond} // to be learned
	return Reading{
		Logs: &logs.Reader{Desk: files.NewDesk(nil, io.Discard, func(string, ...any) {})}, File: rigfile.File{Rig: rig}, ClipError: sim.Second,
		Rig: func(path string) (sim.Rig, error) { return sim.Rig{}, errors.New("no rig expected: " + path) },
	}
}

// reasons returns why each file was left out, by its name below root.
func reasons(t *testing.T, root string, left []season.LeftOut) map[string]string {
	t.Helper()
	by := map[string]string{}
	for _, l := range left {
		name, err := filepath.Rel(root, filepath.FromSlash(l.File))
		require.NoError(t, err)
		require.NotContains(t, by, name)
		by[filepath.ToSlash(name)] = l.Why
	}
	return by
}

func TestReadEvaluatesEveryOuting(t *testing.T) {
	root := t.TempDir()
	put(t, root, "sat/a.csv", flown(300, 300))
	put(t, root, "sat/flight.toml", "note = \"gusts\"\nseen = [\"0:7=recording\"]\n")
	put(t, root, "sat/card.csv", "duration\n5s\n")
	put(t, root, "sun/b.csv", flown(300))
	put(t, root, "sun/c.csv", flown(300, 300, 300))
	put(t, root, "sun/one.mp4", string(bmfftest.Video(5*time.Second, time.Time{})))
	put(t, root, "trials.csv", "hold,outcome\n70ms,nothing\n90ms,toggled\n")
	landed := time.Date(2026, 6, 13, 10, 0, 0, 0, time.UTC)
	require.NoError(t, os.Chtimes(filepath.Join(root, "sat/a.csv"), landed, landed))

	r := reading()
	var shown []string
	r.Logs.Progress = func(text string) { shown = append(shown, text) }
	outings, left, err := r.Read(root)
	require.NoError(t, err)
	require.Empty(t, left)
	require.Len(t, outings, 3)
	sat, sun, trials := outings[0], outings[1], outings[2]

	require.Equal(t, filepath.ToSlash(filepath.Join(root, "sat")), sat.Folder)
	require.Len(t, sat.Flights, 1)
	require.Equal(t, filepath.ToSlash(filepath.Join(root, "sat/a.csv")), sat.Flights[0].File)
	require.Equal(t, 2, sat.Flights[0].Flicks)
	require.Equal(t, "gusts", sat.Flights[0].Note)
	require.Equal(t, season.FileClock, sat.Flights[0].Clock)
	require.Equal(t, landed.Add(-14980*time.Millisecond), sat.Flights[0].Began, "the log ends when its file was last written")
	require.Equal(t, 1, sat.Glances)
	require.Equal(t, 1, *sat.Clips)
	require.NotNil(t, sat.Evidence)

	require.Len(t, sun.Flights, 2)
	require.Equal(t, []int{1, 3}, []int{sun.Flights[0].Flicks, sun.Flights[1].Flicks})
	require.Equal(t, 1, *sun.Clips, "the video")
	require.Zero(t, sun.Glances)

	require.Equal(t, 2, trials.Trials)
	require.Empty(t, trials.Flights)
	require.NotNil(t, trials.Evidence)

	require.Contains(t, strings.Join(shown, "\n"), "log 1 of 3, about ")
	require.Empty(t, shown[len(shown)-1], "the progress is removed at the end")
	for _, input := range []string{"sat/a.csv", "sat/flight.toml", "sat/card.csv", "sun/one.mp4", "trials.csv"} {
		require.ErrorContains(t, r.Logs.Desk.MayWrite(filepath.Join(root, input), true), "as both input and output", input)
	}
}

// TestACachedResultIsUsedUntilItIsStale marks the cached result, to see when it is
// used.
func TestACachedResultIsUsedUntilItIsStale(t *testing.T) {
	root, kept := t.TempDir(), filepath.Join(t.TempDir(), "season")
	put(t, root, "a.csv", flown(300))
	put(t, root, "flight.toml", "note = \"gusts\"\n")
	noteOf := func(change func(*Reading)) string {
		r := reading()
		r.KeptIn = kept
		change(&r)
		outings, left, err := r.Read(root)
		require.NoError(t, err)
		require.Empty(t, left)
		require.Len(t, outings, 1)
		return outings[0].Flights[0].Note
	}
	same := func(*Reading) {}
	require.Equal(t, "gusts", noteOf(same))
	entries, err := filepath.Glob(filepath.Join(kept, "*.json"))
	require.NoError(t, err)
	require.Len(t, entries, 1)
	text, err := os.ReadFile(entries[0])
	require.NoError(t, err)
	marked := bytes.ReplaceAll(text, []byte("gusts"), []byte("cached"))
	require.NoError(t, os.WriteFile(entries[0], marked, 0o666))

	require.Equal(t, "cached", noteOf(same))
	require.Equal(t, "gusts", noteOf(func(r *Reading) { r.File.Rig.Camera.LongPress = sim.Exactly(2 * sim.Second) }), "another rig")
	require.Equal(t, "gusts", noteOf(func(r *Reading) { r.ClipError = 2 * sim.Second }), "other options")
	require.Equal(t, "cached", noteOf(same), "results of other options do not replace it")
	require.Equal(t, "gusts", noteOf(func(r *Reading) { r.Fresh = true }), "read again on request")
	require.Equal(t, "gusts", noteOf(same), "which replaced the cached result")

	require.NoError(t, os.WriteFile(entries[0], marked, 0o666))
	put(t, root, "seen.txt", "0:7=recording\n")
	require.Equal(t, "gusts", noteOf(same), "an observation was added")
	require.NoError(t, os.Remove(filepath.Join(root, "seen.txt")))
	require.Equal(t, "cached", noteOf(same), "and removed")
	put(t, root, "a.csv", flown(300, 300))
	require.Equal(t, "gusts", noteOf(same), "the log has changed")
}

// TestAResultWithSomethingLeftOutIsNotCached: what was left out is reported again
// next time.
func TestAResultWithSomethingLeftOutIsNotCached(t *testing.T) {
	root, kept := t.TempDir(), t.TempDir()
	put(t, root, "a.csv", flown(300))
	put(t, root, "seen.txt", "0:07=blinking\n")
	for range 2 {
		r := reading()
		r.KeptIn = kept
		_, left, err := r.Read(root)
		require.NoError(t, err)
		require.Len(t, left, 1)
		require.Contains(t, left[0].Why, "blinking")
	}
	entries, err := os.ReadDir(kept)
	require.NoError(t, err)
	require.Empty(t, entries)
}

// TestACacheThatCannotBeWrittenIsNoError: the season is read all the same.
func TestACacheThatCannotBeWrittenIsNoError(t *testing.T) {
	root, kept := t.TempDir(), filepath.Join(t.TempDir(), "file")
	put(t, root, "a.csv", flown(300))
	require.NoError(t, os.WriteFile(kept, []byte("mine"), 0o666))
	r := reading()
	r.KeptIn = filepath.Join(kept, "season")
	outings, left, err := r.Read(root)
	require.NoError(t, err)
	require.Empty(t, left)
	require.Len(t, outings, 1)
}

func TestAnOutingMayHaveARigOfItsOwn(t *testing.T) {
	root := t.TempDir()
	put(t, root, "same/a.csv", flown(300))
	put(t, root, "same/flight.toml", "rig = \"../same.toml\"\nseen = [\"0:7=recording\"]\n")
	put(t, root, "other/a.csv", strings.Replace(flown(300), "aux2", "aux9", 1))
	put(t, root, "other/flight.toml", "rig = \"../other.toml\"\nseen = [\"0:7=standby\"]\n")
	put(t, root, "torn/a.csv", flown(300))
	put(t, root, "torn/flight.toml", "rig = \""+filepath.ToSlash(filepath.Join(root, "torn.toml"))+"\"\n")
	r := reading()
	r.Rig = func(path string) (sim.Rig, error) {
		rig := r.File.Rig
		switch name, err := filepath.Rel(root, path); {
		case err == nil && name == "same.toml":
			return rig, nil
		case err == nil && name == "other.toml":
			rig.Log.Channel = "aux9"
			rig.Camera.MinPress = sim.Exactly(400 * sim.Millisecond)
			return rig, nil
		}
		return rig, errors.New("the rig is torn")
	}
	outings, left, err := r.Read(root)
	require.NoError(t, err)
	require.Equal(t, map[string]string{"torn/a.csv": "the rig is torn"}, reasons(t, root, left))
	require.Len(t, outings, 2)
	other, same := outings[0], outings[1]
	require.Nil(t, other.Evidence, "another camera says nothing about the season's")
	require.NotNil(t, same.Evidence)
	require.Equal(t, 1, same.Flights[0].Toggled)
	require.Zero(t, other.Flights[0].Toggled, "the hold is too short for that camera")
}

// TestWhatCannotBeReadIsLeftOut: the flights are evaluated without it.
func TestWhatCannotBeReadIsLeftOut(t *testing.T) {
	root := t.TempDir()
	put(t, root, "log/good.csv", flown(300))
	put(t, root, "log/bad.csv", "time_ms,aux2\n0,1000\n20,gust\n")
	put(t, root, "glance/a.csv", flown(300))
	put(t, root, "glance/seen.txt", "b.csv@0:07=recording\n")
	put(t, root, "list/a.csv", flown(300))
	put(t, root, "list/card.csv", "duration\nlong\n")
	put(t, root, "none/a.csv", flown(300))
	put(t, root, "none/flight.toml", "clips = [\"card.csv\"]\n")
	put(t, root, "two/a.csv", flown(300)+"0,1000\n20,1000\n")
	put(t, root, "two/seen.txt", "0:07=recording\n")
	put(t, root, "trials.csv", "hold,outcome\n70ms,maybe\n")
	put(t, root, "text/a.csv", flown(300))
	put(t, root, "text/seen.txt", strings.Repeat("# long\n", mostText/7+1))

	outings, left, err := reading().Read(root)
	require.NoError(t, err)
	flights := map[string]int{}
	for _, o := range outings {
		flights[filepath.Base(o.Folder)] = len(o.Flights)
		require.Nil(t, o.Clips, o.Folder)
		require.Zero(t, o.Glances, o.Folder)
	}
	require.Equal(t, map[string]int{"log": 1, "glance": 1, "list": 1, "none": 1, "two": 2, "text": 1}, flights)
	why := reasons(t, root, left)
	for name, want := range map[string]string{
		"log/bad.csv":   "bad.csv:3:4",
		"glance":        `found "b.csv@0:07=recording", want LOG@TIME=recording with one of the logs, such as a.csv@`,
		"list/card.csv": "card.csv:2:1",
		"none/card.csv": "cannot read the clips",
		"two":           "reported without the observations: found several flights in one log",
		"trials.csv":    "trials.csv:2:6",
		"text/seen.txt": "found more than 1048576 bytes, want a few lines",
	} {
		require.Contains(t, why[name], want, name)
		delete(why, name)
	}
	require.Empty(t, why)
}

func TestASeasonWithoutAFlightIsAnError(t *testing.T) {
	root := t.TempDir()
	put(t, root, "bad.csv", "time_ms,aux2\n0,1000\n20,gust\n")
	outings, left, err := reading().Read(root)
	require.Empty(t, outings)
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "found no flight in "+root)
	require.Contains(t, reasons(t, root, left)["bad.csv"], "bad.csv:3:4")

	_, _, err = reading().Read(filepath.Join(root, "none"))
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "cannot look for flights")
	require.ErrorIs(t, err, os.ErrNotExist)
}

// TestNothingIsCachedForFilesThatAreGone: an outing has no key if one of its files
// disappeared after the search.
func TestNothingIsCachedForFilesThatAreGone(t *testing.T) {
	for _, gone := range []string{"a.csv", "card.csv"} {
		root := t.TempDir()
		put(t, root, "a.csv", log)
		put(t, root, "card.csv", "duration\n3s\n")
		found, err := Find(root)
		require.NoError(t, err)
		require.NotEmpty(t, found.Outings[0].Key(""))
		require.NoError(t, os.Remove(filepath.Join(root, gone)))
		require.Empty(t, found.Outings[0].Key(""), gone)
	}
}

// TestAChangedEndChangesTheKey: a log of the same size and time is known by both
// its ends.
func TestAChangedEndChangesTheKey(t *testing.T) {
	root := t.TempDir()
	saved := time.Date(2026, 6, 13, 10, 0, 0, 0, time.UTC)
	long := log + strings.Repeat("40000,1000\n", 3*headAndTail/11)
	keyOf := func(text string) string {
		put(t, root, "a.csv", text)
		require.NoError(t, os.Chtimes(filepath.Join(root, "a.csv"), saved, saved))
		found, err := Find(root)
		require.NoError(t, err)
		return found.Outings[0].Key("")
	}
	first := keyOf(long)
	require.Equal(t, first, keyOf(long))
	require.NotEqual(t, first, keyOf(strings.Replace(long, "20000", "30000", 1)))
	require.NotEqual(t, first, keyOf(strings.TrimSuffix(long, "1000\n")+"2000\n"))
}

func TestMerge(t *testing.T) {
	root := t.TempDir()
	put(t, root, "sat/a.csv", flown(300))
	put(t, root, "sun/b.csv", flown(300))
	r := reading()
	rig := r.File.Rig
	write := func(name string, folders ...string) string {
		outings, left, err := r.Read(folders...)
		require.NoError(t, err)
		var text bytes.Buffer
		require.NoError(t, season.Of(rig, outings, left).WriteJSON(&text))
		put(t, root, name, text.String())
		return filepath.Join(root, name)
	}
	sat := write("sat.json", filepath.Join(root, "sat"))
	both := write("both.json", filepath.Join(root, "sat"), filepath.Join(root, "sun"))

	merged, left, err := Merge(r.Logs.Desk, rig, sat, both)
	require.NoError(t, err)
	require.Len(t, merged, 2)
	require.Equal(t, filepath.ToSlash(filepath.Join(root, "sun/b.csv")), merged[1].Flights[0].File)
	require.Len(t, left, 1, "a flight of both seasons counts once")
	require.ErrorContains(t, r.Logs.Desk.MayWrite(sat, true), "as both input and output")

	_, _, err = Merge(r.Logs.Desk, rig, sat, filepath.Join(root, "none.json"))
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "cannot read the season")
	require.ErrorIs(t, err, os.ErrNotExist)
	put(t, root, "torn.json", "{\"schema\": 1,")
	_, _, err = Merge(r.Logs.Desk, rig, filepath.Join(root, "torn.json"))
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "torn.json: found no season in JSON")
	rig.Camera.MinPress = sim.Exactly(400 * sim.Millisecond)
	_, _, err = Merge(r.Logs.Desk, rig, sat)
	require.ErrorContains(t, err, "other thresholds")
}

// TestAGlanceBelongsToOneLog: the logs of a folder share their glances, even if some
// have a list of clips of their own.
func TestAGlanceBelongsToOneLog(t *testing.T) {
	root := t.TempDir()
	put(t, root, "a.csv", flown(300))
	put(t, root, "b.csv", flown(300))
	put(t, root, "b-clips.csv", "duration\n5s\n")
	put(t, root, "seen.txt", "a.csv@0:07=recording\nb.csv@0:06=recording\nb.csv@0:08=recording\n")
	outings, left, err := reading().Read(root)
	require.NoError(t, err)
	require.Empty(t, left)
	require.Len(t, outings, 2)
	require.Equal(t, 2, outings[0].Glances)
	require.Equal(t, 1, outings[1].Glances)

	put(t, root, "seen.txt", "0:07=recording\n")
	outings, left, err = reading().Read(root)
	require.NoError(t, err)
	require.Len(t, left, 1, "reported once")
	require.Contains(t, left[0].Why, `found "0:07=recording" and 2 logs, want the one in which that was seen`)
	require.Zero(t, outings[0].Glances+outings[1].Glances)
}

// TestAFolderOfTwoNamesCountsOnce: its flights are not counted twice.
func TestAFolderOfTwoNamesCountsOnce(t *testing.T) {
	root, link := t.TempDir(), filepath.Join(t.TempDir(), "season")
	put(t, root, "sat/a.csv", log)
	if err := os.Symlink(root, link); err != nil {
		t.Skip("no links here: ", err)
	}
	found, err := Find(link)
	require.NoError(t, err)
	require.Empty(t, found.LeftOut, "a link that is named is followed")
	require.Len(t, found.Outings, 1)
	require.Equal(t, filepath.Join(link, "sat", "a.csv"), found.Outings[0].Logs[0].Path)

	t.Chdir(root)
	for _, roots := range [][]string{{root, link}, {"sat", root}, {".", "sat", link}, {link, filepath.Join(link, "sat")}} {
		found, err := Find(roots...)
		require.NoError(t, err)
		require.Len(t, found.Outings, 1, roots)
		require.Len(t, found.Outings[0].Logs, 1, roots)
	}
}

func TestAHiddenFolderIsSearchedIfItIsNamed(t *testing.T) {
	root := t.TempDir()
	put(t, root, ".kept/a.csv", log)
	found, err := Find(root)
	require.NoError(t, err)
	require.Empty(t, found.Outings)
	found, err = Find(filepath.Join(root, ".kept"))
	require.NoError(t, err)
	require.Len(t, found.Outings, 1)

	t.Chdir(filepath.Join(root, ".kept"))
	for name, want := range map[string]int{".": 1, "..": 0, "../.kept": 1} {
		found, err = Find(name)
		require.NoError(t, err)
		require.Len(t, found.Outings, want, name)
	}
}

// TestANamedFolderThatCannotBeReadIsAnError: one below it is only left out. The
// visits are those of a walk without the rights, which an administrator always has.
func TestANamedFolderThatCannotBeReadIsAnError(t *testing.T) {
	root := t.TempDir()
	put(t, root, "sat/a.csv", log)
	f := finder{root: root, folders: map[string]*Outing{}, walked: map[string]bool{}}
	visit := func(path string, failed error) error {
		info, err := os.Stat(path)
		require.NoError(t, err)
		return f.visit(path, fs.FileInfoToDirEntry(info), failed)
	}
	denied := &fs.PathError{Op: "open", Path: root, Err: fs.ErrPermission}
	require.NoError(t, visit(root, nil))
	require.ErrorIs(t, visit(root, denied), fs.ErrPermission)
	require.NoError(t, visit(filepath.Join(root, "sat"), denied))
	require.Equal(t, map[string]string{"sat": "permission denied"}, reasons(t, root, f.found.LeftOut))
}
