package progress_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/text"
	"flicktally/trainer"
	"flicktally/trainer/history"
	"flicktally/trainer/progress"
)

const ms = sim.Millisecond

// monday is the noon of a Monday in the pilot's calendar.
var monday = time.Date(2025, 6, 2, 12, 0, 0, 0, time.Local)

// flicks returns flicks of the given holds. Those that hold for 100 ms or more toggle.
func flicks(holds ...sim.Micros) []trainer.Flick {
	var made []trainer.Flick
	for i, hold := range holds {
		down := sim.Micros(i+1) * 3 * sim.Second
		verdict := sim.VerdictToggle
		if hold < 100*ms {
			verdict = sim.VerdictShort
		}
		made = append(made, trainer.Flick{N: i + 1, Run: 1, Down: down, Up: down + hold, Verdict: verdict})
	}
	return made
}

// times returns a number of equal holds.
func times(n int, hold sim.Micros) []sim.Micros { return slices.Repeat([]sim.Micros{hold}, n) }

// right returns a number of trials that were all right, at the easiest level.
func right(kind trainer.Kind, n int) []trainer.Result {
	results := make([]trainer.Result, n)
	for i := range results {
		results[i] = trainer.Result{N: i + 1, Kind: kind, Outcome: trainer.OutcomeRight, Right: true}
	}
	return results
}

// drill is a drill with the Heron, on a day counted from monday.
func drill(day int, kind trainer.Kind, made []trainer.Flick, results []trainer.Result) *history.Drill {
	return &history.Drill{
		Context:   history.Context{Device: "keyboard", RigName: "Heron", RigHash: "1"},
		Practised: trainer.Practised{Began: monday.AddDate(0, 0, day), Kind: kind, Flicks: made, Results: results},
	}
}

// report returns the report on drills by week, as of a day counted from monday. Columns
// are separated by one space, so that widths do not matter.
func report(day int, drills ...*history.Drill) string {
	var out strings.Builder
	progress.Write(text.New(&out, false), &history.History{Drills: drills}, trainer.Week, monday.AddDate(0, 0, day))
	var lines []string
	for line := range strings.Lines(out.String()) {
		lines = append(lines, strings.Join(strings.Fields(line), " "))
	}
	return strings.Join(lines, "\n")
}

// TestWithoutDrillsOnlyTheColumnsAreExplained: an empty journal, and drills in which
// nothing was done, have no tables.
func TestWithoutDrillsOnlyTheColumnsAreExplained(t *testing.T) {
	none := report(0)
	require.True(t, strings.HasPrefix(none, "\ntoggled share of flicks that toggled"), none)
	require.NotContains(t, none, "drill trials")
	require.Equal(t, none, report(0, drill(0, trainer.KindFlick, nil, nil)))
}

// TestOneDrill: one row for its week, one for the drill.
func TestOneDrill(t *testing.T) {
	results := right(trainer.KindFlick, 3)
	results[0].Scored, results[0].Off = true, -20*ms
	results[1].Scored, results[1].Off = true, 40*ms
	got := report(0, drill(0, trainer.KindFlick, flicks(300*ms, 320*ms, 340*ms), results))
	require.Contains(t, got, `Heron, with keyboard
from drills flicks toggled hold spread slips first trials
2025-06-02 1 3 100 % (44 to 100) 320 ms 20 ms 0 - flick 3
drill trials right off level
One flick 3 100 % (44 to 100) +10 ms, ±42 ms 0 undecided: `)
	require.Contains(t, got, "next: flicktally practise steady (Steady hold)")
	require.NotContains(t, got, "recheck")
}

// TestUnknownValuesAreDashes: one flick has a hold but no spread; a day's first flick
// and an answer without a flick have neither.
func TestUnknownValuesAreDashes(t *testing.T) {
	require.Contains(t, report(0, drill(0, trainer.KindFlick, flicks(300*ms), nil)),
		"2025-06-02 1 1 100 % (21 to 100) 300 ms - 0 -")
	cold := flicks(300*ms, 50*ms)
	cold[0].Cold, cold[1].Cold = true, true
	require.Contains(t, report(0, drill(0, trainer.KindFlick, cold, nil)), "2025-06-02 1 0 - - - 0 1 of 2")
	got := report(0, drill(0, trainer.KindBlind, nil, right(trainer.KindBlind, 1)))
	require.Contains(t, got, "2025-06-02 1 0 - - - 0 - blind 1\n")
	require.Contains(t, got, "Blind count 1 100 % (21 to 100) - ")
}

// TestIntervalsAreWilsons: 1 of 29 and 15 of 148 in Newcombe, Statistics in Medicine 17
// (1998), table I, method 3, are 0.0061 to 0.1718 and 0.0624 to 0.1605 (from memory).
func TestIntervalsAreWilsons(t *testing.T) {
	for _, test := range []struct {
		hits, of int
		want     string
	}{{1, 29, "29 3 % (1 to 17)"}, {15, 148, "148 10 % (6 to 16)"}} {
		holds := append(times(test.hits, 300*ms), times(test.of-test.hits, 50*ms)...)
		require.Contains(t, report(0, drill(0, trainer.KindFlick, flicks(holds...), nil)), "2025-06-02 1 "+test.want)
	}
}

// TestASlipIsCountedApart: one hold far from the others changes neither their mean nor
// their spread.
func TestASlipIsCountedApart(t *testing.T) {
	holds := append(append(times(10, 290*ms), times(10, 310*ms)...), 3*sim.Second)
	require.Contains(t, report(0, drill(0, trainer.KindFlick, flicks(holds...), nil)), "100 % (85 to 100) 300 ms 10 ms 1 -")
}

// TestPeriodsAndKinds: drills of a week share a row, in which the kinds are in learning
// order.
func TestPeriodsAndKinds(t *testing.T) {
	got := report(8,
		drill(0, trainer.KindBlind, nil, right(trainer.KindBlind, 1)),
		drill(6, trainer.KindFlick, nil, right(trainer.KindFlick, 2)),
		drill(7, trainer.KindFlick, nil, right(trainer.KindFlick, 3)))
	require.Contains(t, got, "2025-06-02 2 0 - - - 0 - flick 2, blind 1\n2025-06-09 1 0 - - - 0 - flick 3\n")
	require.Regexp(t, `(?s)\nOne flick 5 .*\nBlind count 1 `, got)
}

// TestEachRigAndDeviceHasItsOwnTables: the latest is the last, and a blank line
// separates them.
func TestEachRigAndDeviceHasItsOwnTables(t *testing.T) {
	other := drill(1, trainer.KindFlick, flicks(300*ms), nil)
	other.Device, other.RigName, other.RigHash = "transmitter", "", "2"
	got := report(1, other, drill(1, trainer.KindFlick, flicks(200*ms), nil))
	require.Regexp(t, `(?s)^A rig without a name, with transmitter\n.* 300 ms .*\n\nHeron, with keyboard\n.* 200 ms `, got)
	require.Equal(t, 1, strings.Count(got, "toggled share of flicks"))
}

// TestADrillBecomesReliableDueAndLapsed: a hundred trials, all right, prove it for thirty
// days; it is due for a recheck on the next day.
func TestADrillBecomesReliableDueAndLapsed(t *testing.T) {
	practised := drill(0, trainer.KindFlick, nil, right(trainer.KindFlick, 100))
	for day, want := range map[int]string{
		0:  "reliable: better than 9 in 10 (2025-06-02)\n",
		1:  "reliable: better than 9 in 10 (2025-06-02), due for a recheck\ndue for a recheck: One flick\n",
		30: "(2025-06-02), due for a recheck\ndue for a recheck: One flick\n",
		31: "was reliable on 2025-06-02: ",
	} {
		got := report(day, practised)
		require.Contains(t, got, want, "day %d", day)
		require.Equal(t, day == 1 || day == 30, strings.Contains(got, "due for a recheck: "), "day %d", day)
	}
}

// TestThePlanShowsTheStateOfEachDrill: untried, learning, reliable, due and lapsed, with
// the day of the latest trial. Drills that consist of others are left out.
func TestThePlanShowsTheStateOfEachDrill(t *testing.T) {
	now := monday.AddDate(0, 0, 40)
	past := trainer.NewPast(now)
	for kind, daysAgo := range map[trainer.Kind]int{
		trainer.KindFlick: 40, trainer.KindSteady: 2, trainer.KindTake: 0, trainer.KindCut: 0,
	} {
		n := 100
		if kind == trainer.KindCut {
			n = 2
		}
		for _, r := range right(kind, n) {
			past.AddAt(now.AddDate(0, 0, -daysAgo), r)
		}
	}
	var out strings.Builder
	progress.WritePlan(&out, trainer.Known{Past: past, Days: trainer.Days{Before: 7}}, nil)
	require.Contains(t, out.String(), `Progress of each drill:
  flick      lapsed   2025-06-02
  steady     due      2025-07-10
  take       reliable 2025-07-12
  cut        learning 2025-07-12
  pattern    untried
  blind      untried
  hands-off  untried

To start: `)
}
