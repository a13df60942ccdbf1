package trainer

import (
	"math"
	"math/rand/v2"
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

// TestScoreAgainstNIST: mean and spread of the holds are those of NIST StRD NumAcc1
// (10000001, 10000003, 10000002: mean 10000002, SD 1).
func TestScoreAgainstNIST(t *testing.T) {
	s := NewScore(toggles(10000001, 10000003, 10000002), nil)
	require.Equal(t, stat.Summary{N: 3, Mean: 10000002, SD: 1}, s.Holds)
}

func TestScoreCountsWhatCounts(t *testing.T) {
	flicks := append(toggles(300*ms, 320*ms),
		Flick{Up: 1, Verdict: sim.VerdictShort}, Flick{Up: 1, Verdict: verdictUnseen},
		Flick{Up: 1, Verdict: sim.VerdictOff}, Flick{Up: 1, Verdict: sim.VerdictToggle, TooClose: true},
		Flick{Up: 1, Verdict: sim.VerdictToggle, Cold: true})
	results := []Result{
		{Kind: KindFlick, Right: true, Scored: true, Off: 20 * ms, Level: 3},
		{Kind: KindFlick, Scored: true, Off: -40 * ms, Level: 4},
		{Kind: KindFlick, Uncounted: true}, {Kind: KindFlick, Cold: true}, {Kind: KindBlind, Right: true},
	}
	s := NewScore(flicks, results)
	require.Equal(t, stat.Rate{Hits: 2, Trials: 4}, s.Toggled)
	require.Equal(t, stat.Rate{Hits: 1, Trials: 1}, s.Cold)
	require.Equal(t, 5, s.Holds.N+s.Slips.Hits, "all flicks while the camera was on, except the cold one")
	require.Len(t, s.Kinds, 2)
	require.Equal(t, stat.Rate{Hits: 1, Trials: 2}, s.Kinds[0].Right)
	require.InDelta(t, float64(-10*ms), s.Kinds[0].Off.Mean, 1e-9)
}

func TestChangesBeyondChanceAndResolution(t *testing.T) {
	wide := toggles(200*ms, 400*ms, 250*ms, 350*ms, 220*ms, 380*ms, 300*ms, 240*ms, 360*ms, 300*ms)
	narrow := toggles(300*ms, 302*ms, 298*ms, 301*ms, 299*ms, 300*ms, 303*ms, 297*ms, 300*ms, 300*ms)
	before, now := NewScore(wide, nil), NewScore(narrow, nil)
	require.Equal(t, []string{"spread of the hold: 1.8 ms, last time 71 ms"}, now.Changes(before, ms))
	require.Equal(t, []string{"no change beyond chance and the resolution of the input"}, now.Changes(before, 100*ms))
	require.Equal(t, []string{"nothing to compare with yet"}, now.Changes(Score{}, ms))
	miss, hit := Score{Toggled: stat.Rate{Hits: 5, Trials: 20}}, Score{Toggled: stat.Rate{Hits: 19, Trials: 20}}
	require.Equal(t, []string{"flicks that toggle: 95 % (19 of 20), last time 25 % (5 of 20)"}, hit.Changes(miss, ms))
	slipped := NewScore(append(wide, toggles(3*sec)...), nil)
	require.Equal(t, []string{
		"no change beyond chance and the resolution of the input",
		"slips, in neither mean nor spread: 1 of 11, last time 0 of 10",
	}, slipped.Changes(before, ms))
}

// session simulates the flicks of a pilot with holds about a mean, a share of slips,
// and a window from 200 to 400 ms.
func session(n int, mean, spread, slips float64, rng *rand.Rand) []Flick {
	var flicks []Flick
	for range n {
		hold := sim.Micros(mean + spread*rng.NormFloat64())
		if rng.Float64() < slips {
			hold = sim.Micros(mean * (3 + 4*rng.Float64()))
		}
		verdict := sim.VerdictToggle
		switch {
		case hold < 200*ms:
			verdict = sim.VerdictShort
		case hold >= 400*ms:
			verdict = sim.VerdictLong
		}
		flicks = append(flicks, Flick{Up: max(ms, hold), Verdict: verdict})
	}
	return flicks
}

// TestNoFalseAlarms simulates sessions between which nothing changed: at most 5 % of
// the comparisons report a change, with and without slips.
func TestNoFalseAlarms(t *testing.T) {
	const runs = 1500
	rng := rand.New(rand.NewPCG(21, 22))
	for _, c := range []struct {
		n, m   int
		spread float64
		slips  float64
	}{{20, 20, 40e3, 0}, {12, 30, 60e3, 0.01}, {20, 20, 60e3, 0.05}, {40, 20, 50e3, 0.02}, {8, 8, 70e3, 0.02}, {60, 60, 30e3, 0.01}} {
		alarms := 0
		for range runs {
			before := NewScore(session(c.n, 300e3, c.spread, c.slips, rng), nil)
			now := NewScore(session(c.m, 300e3, c.spread, c.slips, rng), nil)
			if now.Changes(before, 0)[0] != unchanged {
				alarms++
			}
		}
		require.LessOrEqual(t, float64(alarms)/runs, falseAlarm+2*math.Sqrt(0.05*0.95/runs), "%+v", c)
		t.Logf("%+v: %.3f", c, float64(alarms)/runs)
	}
}

// TestRealChangesAreSeen: the power of the same comparisons, of 40 flicks each.
func TestRealChangesAreSeen(t *testing.T) {
	const runs = 300
	rng := rand.New(rand.NewPCG(23, 24))
	for name, c := range map[string]struct{ mean, spread, slips float64 }{
		"longer by a standard deviation": {350e3, 50e3, 0},
		"twice the spread":               {300e3, 100e3, 0},
	} {
		seen := 0
		for range runs {
			before, now := NewScore(session(40, 300e3, 50e3, 0, rng), nil), NewScore(session(40, c.mean, c.spread, c.slips, rng), nil)
			if now.Changes(before, ms)[0] != unchanged {
				seen++
			}
		}
		require.Greater(t, float64(seen)/runs, 0.85, name)
	}
}

// TestPatternsAreNoSlips: long holds in a pattern are intended.
func TestPatternsAreNoSlips(t *testing.T) {
	flicks := toggles(200*ms, 205*ms, 195*ms, 200*ms, 600*ms, 600*ms)
	for i := range flicks {
		flicks[i].Down += sim.Micros(i) * sec
		flicks[i].Up += sim.Micros(i) * sec
	}
	s := NewScore(flicks, []Result{{Kind: KindPattern, Right: true, Began: flicks[4].Down, Ended: flicks[5].Up}})
	require.Equal(t, stat.Rate{Hits: 0, Trials: 4}, s.Slips)
	require.Equal(t, stat.Rate{Hits: 6, Trials: 6}, s.Toggled)
	require.InDelta(t, 200e3, s.Holds.Mean, 1)
}

// TestHoldsThatDidNotToggleAreInTheSpread: the spread must not look smaller because
// the window excludes the outer holds.
func TestHoldsThatDidNotToggleAreInTheSpread(t *testing.T) {
	flicks := session(20_000, 300e3, 60e3, 0.03, rand.New(rand.NewPCG(25, 26)))
	s := NewScore(flicks, nil)
	require.InDelta(t, 60e3, s.Holds.SD, 1500)
	require.Less(t, stat.Summarize(holdsOf(flicks)).SD, 48e3, "of those that toggled alone")
	require.InDelta(t, 0.03, s.Slips.Value(), 0.004)
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

// holdsOf returns the hand's holds of the flicks that toggled.
func holdsOf(flicks []Flick) []sim.Micros {
	var holds []sim.Micros
	for _, f := range flicks {
		if f.Toggled() {
			holds = append(holds, f.Hold())
		}
	}
	return holds
}
