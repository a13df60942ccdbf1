package trainer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// toggles returns flicks that toggled, with the given holds.
func toggles(holds ...sim.Micros) []Flick {
	var flicks []Flick
	for _, h := range holds {
		flicks = append(flicks, Flick{Down: sec, Up: sec + h, Seen: h, Verdict: sim.VerdictToggle})
	}
	return flicks
}

// TestScoreAgainstNIST: mean, spread and drift of the holds are those of NIST
// StRD NumAcc1 (10000001, 10000003, 10000002: mean 10000002, SD 1, lag-1 −0.5).
func TestScoreAgainstNIST(t *testing.T) {
	s := NewScore(toggles(10000001, 10000003, 10000002), nil)
	require.Equal(t, stat.Summary{N: 3, Mean: 10000002, SD: 1}, s.Holds)
	require.InDelta(t, -0.5, s.Drift, 1e-12)
}

func TestScoreCountsWhatCounts(t *testing.T) {
	flicks := append(toggles(300*ms, 320*ms),
		Flick{Verdict: sim.VerdictShort}, Flick{Verdict: VerdictUnseen},
		Flick{Verdict: sim.VerdictOff}, Flick{Verdict: sim.VerdictToggle, TooClose: true},
		Flick{Verdict: sim.VerdictToggle, Cold: true})
	results := []Result{
		{Kind: KindFlick, Right: true, Scored: true, Off: 20 * ms, Level: 3},
		{Kind: KindFlick, Scored: true, Off: -40 * ms, Level: 4},
		{Kind: KindFlick, Uncounted: true}, {Kind: KindFlick, Cold: true}, {Kind: KindBlind, Right: true},
	}
	s := NewScore(flicks, results)
	require.Equal(t, stat.Rate{Hits: 2, Trials: 4}, s.Toggled)
	require.Equal(t, stat.Rate{Hits: 1, Trials: 1}, s.Cold)
	require.Equal(t, 2, s.Holds.N)
	require.Len(t, s.Kinds, 2)
	require.Equal(t, stat.Rate{Hits: 1, Trials: 2}, s.Kinds[0].Right)
	require.InDelta(t, float64(-10*ms), s.Kinds[0].Off.Mean, 1e-9)
	require.Equal(t, 4, s.Kinds[0].Level)
}

func TestChangesBeyondChanceAndResolution(t *testing.T) {
	wide, close := toggles(200*ms, 400*ms, 250*ms, 350*ms, 220*ms, 380*ms), toggles(300*ms, 302*ms, 298*ms, 301*ms, 299*ms, 300*ms)
	before, now := NewScore(wide, nil), NewScore(close, nil)
	require.Equal(t, []string{"spread of the hold: 1 ms, last time 87 ms"}, now.Changes(before, ms))
	require.Equal(t, []string{"as last time, as far as chance and the input let one tell"}, now.Changes(before, 100*ms))
	require.Equal(t, []string{"nothing to compare with yet"}, now.Changes(Score{}, ms))
	miss, hit := Score{Toggled: stat.Rate{Hits: 5, Trials: 20}}, Score{Toggled: stat.Rate{Hits: 19, Trials: 20}}
	require.Equal(t, []string{"flicks that toggle: 95 % (19 of 20), last time 25 % (5 of 20)"}, hit.Changes(miss, ms))
}

func TestTrendSaysEarlyOrLate(t *testing.T) {
	offs := func(kind Kind, offs ...sim.Micros) []Result {
		var results []Result
		for _, off := range offs {
			results = append(results, Result{Kind: kind, Scored: true, Off: off})
		}
		return results
	}
	for _, c := range []struct {
		name    string
		results []Result
		kind    Kind
		want    string
	}{
		{"too few", offs(KindFlick, 50*ms, 50*ms), KindFlick, ""},
		{"long", offs(KindFlick, 50*ms, 60*ms, 40*ms), KindFlick, "0.05 s too long"},
		{"short", offs(KindTake, -50*ms, -60*ms, -40*ms), KindTake, "0.05 s too short"},
		{"late", offs(KindPattern, 50*ms, 60*ms, 40*ms), KindPattern, "0.05 s late"},
		{"within chance", offs(KindFlick, -90*ms, 100*ms, 40*ms), KindFlick, "neither early nor late"},
		{"below the resolution", offs(KindFlick, 9*ms, 9*ms, 9*ms), KindFlick, "neither early nor late"},
		{"only the last eight", offs(KindFlick, -sec, -sec, 50*ms, 50*ms, 50*ms, 50*ms, 50*ms, 50*ms, 50*ms, 50*ms), KindFlick, "0.05 s too long"},
		{"of its kind", append(offs(KindFlick, 50*ms, 60*ms, 40*ms), offs(KindTake, -sec, -sec)...), KindFlick, "0.05 s too long"},
	} {
		require.Equal(t, c.want, newTrend(c.results, c.kind, 10*ms).Words, c.name)
	}
}

func TestProgressByWeek(t *testing.T) {
	zone := time.FixedZone("lake", 2*3600)
	at := func(day, hour int) time.Time { return time.Date(2025, time.June, day, hour, 0, 0, 0, zone) }
	drill := func(began time.Time, kinds ...Kind) Practised {
		p := Practised{Began: began, Flicks: toggles(300 * ms)}
		for _, k := range kinds {
			p.Results = append(p.Results, Result{Kind: k, Right: true})
		}
		return p
	}
	// 2025-06-02 was a Monday.
	drills := []Practised{
		drill(at(1, 23), KindFlick), drill(at(2, 0), KindFlick, KindTake), drill(at(8, 23), KindTake), drill(at(16, 12), KindBlind),
	}
	weeks := Progress(drills, Week)
	require.Len(t, weeks, 3)
	require.Equal(t, []time.Time{time.Date(2025, time.May, 26, 0, 0, 0, 0, zone), at(2, 0), at(16, 0)},
		[]time.Time{weeks[0].From, weeks[1].From, weeks[2].From})
	require.Equal(t, map[Kind]int{KindFlick: 1, KindTake: 2}, weeks[1].Mix)
	require.Equal(t, 2, weeks[1].Drills)
	require.Equal(t, 2, weeks[1].Toggled.Trials)
	require.Len(t, Progress(drills, Day), 4)
	require.Empty(t, Progress(nil, Week))
}
