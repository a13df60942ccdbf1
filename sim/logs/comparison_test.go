package logs

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// put writes a file and returns its name.
func put(t *testing.T, folder, name, text string) string {
	t.Helper()
	path := filepath.Join(folder, name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	return path
}

// readerOf returns a reader whose standard input is a file.
func readerOf(t *testing.T, path string) *Reader {
	t.Helper()
	input, err := os.Open(path)
	require.NoError(t, err)
	t.Cleanup(func() { input.Close() })
	return &Reader{Desk: files.NewDesk(input, io.Discard, func(string, ...any) {})}
}

// compared returns rigs that press by aux1, by aux1 but 400 ms late, and by a
// column that never moves.
func compared() []flight.ComparedRig {
	late, idle := rig(), rig()
	late.Switch.Settle = 400 * sim.Millisecond
	idle.Log.Channel = "aux2"
	return []flight.ComparedRig{{Letter: "A", Rig: rig()}, {Letter: "B", Rig: idle}, {Letter: "C", Rig: late}}
}

// withIdle adds a column aux2 to a log.
func withIdle(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	rows := strings.ReplaceAll(strings.TrimSpace(string(text)), "\n", ",1000\n") + ",1000\n"
	return put(t, filepath.Dir(path), filepath.Base(path), strings.Replace(rows, "aux1,1000", "aux1,aux2", 1))
}

// TestComparisons: each segment of each log is replayed with every rig, in the order
// of the logs and rigs, and each rig gets what it would get alone.
func TestComparisons(t *testing.T) {
	folder := t.TempDir()
	lake, sea := withIdle(t, aloft(t, folder, "lake.csv", 300, 600)), withIdle(t, aloft(t, folder, "sea.csv", 300))
	rigs := compared()
	all, err := newReader().Comparisons([]string{lake, sea}, rigs, How{})
	require.NoError(t, err)
	require.Len(t, all, 2)
	for i, path := range []string{lake, sea} {
		require.Equal(t, rigs, all[i].Rigs)
		require.Len(t, all[i].Outcomes, len(rigs))
		for k, one := range rigs {
			alone, err := newReader().Replay([]string{path}, one.Rig, How{}, Options{Limits: tell.DefaultLimits()})
			require.NoError(t, err)
			require.Equal(t, path, all[i].Flights[k].File)
			require.Equal(t, alone[0].Replay.Presses, all[i].Flights[k].Replay.Presses, "%s, rig %s", path, one.Letter)
			require.Equal(t, alone[0].Findings, all[i].Flights[k].Findings)
		}
	}
	presses := func(of flight.Comparison) (n []int) {
		for _, f := range of.Flights {
			n = append(n, len(f.Replay.Presses))
		}
		return n
	}
	require.Equal(t, []int{2, 0, 1}, presses(all[0]))
	require.Equal(t, []int{1, 0, 0}, presses(all[1]))
}

// TestComparisonOfStandardInput: it can be read only once, so the rigs must agree how.
func TestComparisonOfStandardInput(t *testing.T) {
	lake := withIdle(t, aloft(t, t.TempDir(), "lake.csv", 300, 600))
	rigs := compared()
	all, err := readerOf(t, lake).Comparisons([]string{"-"}, []flight.ComparedRig{rigs[0], rigs[2]}, How{})
	require.NoError(t, err)
	require.Len(t, all[0].Flights[1].Replay.Presses, 1)

	_, err = readerOf(t, lake).Comparisons([]string{"-"}, rigs, How{})
	require.Equal(t, problem.Usage, problem.KindOf(err))
	require.ErrorContains(t, err, "found - for standard input and rigs whose [log] sections differ (B from A), want a file")
}

// TestComparisonErrors: no log may be missing, and the segments must agree.
func TestComparisonErrors(t *testing.T) {
	folder := t.TempDir()
	laps := put(t, folder, "laps.csv", "time_ms,lap_ms,aux1\n0,0,1000\n20,20,1000\n9000,9000,1000\n9020,0,1000\n9040,20,1000\n")
	whole, byLap := rig(), rig()
	whole.Log.Time, byLap.Log.Time = "time_ms", "lap_ms"
	rigs := []flight.ComparedRig{{Letter: "A", Rig: whole}, {Letter: "B", Rig: byLap}}
	_, err := newReader().Comparisons([]string{laps}, rigs, How{})
	require.EqualError(t, err, "cannot compare: found 2 segments in "+laps+" with rig B and 1 with rig A, want [log] sections that agree")

	all, err := newReader().Comparisons([]string{laps}, rigs[1:], How{})
	require.NoError(t, err)
	require.Len(t, all, 2, "one for each segment")

	none := filepath.Join(folder, "none.csv")
	_, err = newReader().Comparisons([]string{laps, none}, rigs[:1], How{})
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorIs(t, err, os.ErrNotExist)
}

// TestReplayErrors: a log that cannot be read, or an observation that does not fit,
// ends the replay.
func TestReplayErrors(t *testing.T) {
	folder := t.TempDir()
	lake, twice := aloft(t, folder, "lake.csv", 300), put(t, folder, "twice.csv", "time_ms,aux1\n0,1000\n20,1000\n9000,1000\n0,1000\n20,1000\n")
	_, err := newReader().Replay([]string{lake, filepath.Join(folder, "none.csv")}, rig(), How{}, Options{})
	require.ErrorIs(t, err, os.ErrNotExist)

	for _, paths := range [][]string{{lake}, {lake, twice}} {
		var seen Seen
		require.NoError(t, seen.AddGlance("lake.csv@9:00=recording", paths))
		_, err = newReader().Replay(paths, rig(), How{}, Options{Seen: seen})
		require.Equal(t, problem.Usage, problem.KindOf(err))
		require.ErrorContains(t, err, "found a time outside the log", paths)
	}
	var seen Seen
	require.NoError(t, seen.AddGlance("0:00=standby", []string{twice}))
	_, err = newReader().Replay([]string{twice}, rig(), How{}, Options{Seen: seen})
	require.Equal(t, problem.Usage, problem.KindOf(err))
	require.Equal(t, "found several flights in one log, want one for --seen\n"+
		"  → each flight has times of its own; flicktally export --what log --segment N writes one of them", problem.Explain(err))
}
