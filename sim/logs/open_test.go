package logs

import (
	"bytes"
	"compress/gzip"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim/flight"
	"flicktally/sim/problem"
)

// TestProgress: from time to time the progress of a long log is shown, and removed
// at the end.
func TestProgress(t *testing.T) {
	var shown []string
	show := func(text string) { shown = append(shown, text) }
	p := readProgress{show: show, name: "lake.csv", size: 8e6}
	p.update(2e6, 6_400_000)
	require.Equal(t, []string{"reading lake.csv: 6 MB, 25 %"}, shown)
	p.shown = time.Now().Add(time.Hour)
	p.update(3e6, 9e6)
	require.Len(t, shown, 1, "it was shown a moment ago")
	p.shown, p.size = time.Time{}, 0
	p.update(4e6, 12e6)
	require.Equal(t, "reading lake.csv: 12 MB", shown[1], "the size of a stream is unknown")

	shown = nil
	r := newReader()
	r.Progress = show
	_, err := r.Read(aloft(t, t.TempDir(), "lake.csv", 300), rig(), How{}, flight.Options{})
	require.NoError(t, err)
	require.NotEmpty(t, shown)
	require.Empty(t, shown[len(shown)-1], "it is removed at the end")
}

// TestALogThatBreaksOff: a compressed log that ends too early is an error, which
// names the flag that reads it up to there.
func TestALogThatBreaksOff(t *testing.T) {
	folder := t.TempDir()
	text, err := os.ReadFile(aloft(t, folder, "lake.csv", 300, 300))
	require.NoError(t, err)
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err = w.Write(text)
	require.NoError(t, err)
	require.NoError(t, w.Flush())
	torn := put(t, folder, "lake.csv.gz", packed.String())

	_, err = newReader().Read(torn, rig(), How{}, flight.Options{})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.Contains(t, problem.Explain(err), "the compressed log breaks off")
	require.Contains(t, problem.Explain(err), "\n  → --lenient skips")
	flights, err := newReader().Read(torn, rig(), How{Lenient: true}, flight.Options{})
	require.NoError(t, err)
	require.Len(t, flights[0].Replay.Presses, 2)
}

// TestALineThatCannotBeRead: the error has its place, and names the flag that skips it.
func TestALineThatCannotBeRead(t *testing.T) {
	path := put(t, t.TempDir(), "lake.csv", "time_ms,aux1\n0,1000\n20,gust\n40,1000\n")
	_, err := newReader().Read(path, rig(), How{}, flight.Options{})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, path+":3:4: ")
	require.Contains(t, problem.Explain(err), "\n  → --lenient skips")
	flights, err := newReader().Read(path, rig(), How{Lenient: true}, flight.Options{})
	require.NoError(t, err)
	require.EqualValues(t, 1, flights[0].Reading.SkippedLines)
}

// TestLogsThatAreNone: an empty file and a folder are errors, not flights.
func TestLogsThatAreNone(t *testing.T) {
	folder := t.TempDir()
	_, err := newReader().Read(put(t, folder, "empty.csv", ""), rig(), How{}, flight.Options{})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "empty")
	_, err = newReader().Read(folder, rig(), How{}, flight.Options{})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorContains(t, err, "cannot read the log: "+folder+" is a folder, want a file")
}

// TestStandardInputIsALog: it is named so in errors.
func TestStandardInputIsALog(t *testing.T) {
	folder := t.TempDir()
	flights, err := readerOf(t, aloft(t, folder, "lake.csv", 300)).Read("-", rig(), How{}, flight.Options{})
	require.NoError(t, err)
	require.Equal(t, "-", flights[0].File)
	require.Len(t, flights[0].Replay.Presses, 1)
	_, err = readerOf(t, put(t, folder, "bad.csv", "time_ms,aux1\n0,1000\n20,gust\n")).Read("-", rig(), How{}, flight.Options{})
	require.Contains(t, problem.Explain(err), "line 3, column 4 of standard input")
}
