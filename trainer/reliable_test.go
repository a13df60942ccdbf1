package trainer

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// learner is a pilot whose holds scatter normally about the aim.
type learner struct {
	spread float64 // SD in µs
	rng    *rand.Rand
}

func (l *learner) hold(aim sim.Micros) sim.Micros {
	return max(10*ms, aim+sim.Micros(l.spread*l.rng.NormFloat64()))
}

// spreadFor returns the spread with which a hold aimed at the middle of a window
// falls into it with the chance of a two-sided quantile of the normal distribution:
// 2.5758 for 99 %, 1.6449 for 90 %.
func spreadFor(w sim.Window, quantile float64) float64 {
	return float64(w.LongPress-w.MinPress) / 2 / quantile
}

// narrowWindow has a short long-press threshold, so that spread decides.
func narrowWindow() sim.Rig {
	rig := sim.DefaultRig()
	rig.Camera.MinPress, rig.Camera.LongPress = sim.Exactly(200*ms), sim.Exactly(600*ms)
	rig.Camera.LongAction = sim.ActionNone
	return rig
}

// TestReliableTellsPilotsApart simulates pilots who are right with a fixed chance,
// at several numbers of trials a day. One at 90 % is called reliable within 600
// trials in at most 10 % of the runs, one at 99 % within 120 trials in at least
// 90 %. One at 95 % mostly is in the end: "better than 9 in 10". The exact rates of
// a single day were computed separately, by recursion over test, trials and
// failures.
func TestReliableTellsPilotsApart(t *testing.T) {
	const runs = 1000
	for _, c := range []struct {
		chance             float64
		trials, aDay       int
		least, most, exact float64
	}{
		{0.90, 600, 600, 0, 0.10, 0.0478},
		{0.90, 600, 20, 0, 0.10, 0}, // as trials begin to age out
		{0.90, 600, 4, 0, 0.10, 0},  // in five months
		{0.99, 120, 120, 0.90, 1, 0.988},
		{0.99, 120, 5, 0.90, 1, 0},
		{0.95, 600, 600, 0.60, 0.95, 0.7861},
	} {
		rng := rand.New(rand.NewPCG(11, uint64(c.aDay)))
		var called stat.Rate
		for range runs {
			called.Add(calledReliable(c.chance, c.trials, c.aDay, rng))
		}
		t.Logf("%v, %d a day: %.3f", c.chance, c.aDay, called.Value())
		require.GreaterOrEqual(t, called.Value(), c.least, "%+v", c)
		require.LessOrEqual(t, called.Value(), c.most, "%+v", c)
		if c.exact > 0 {
			require.InDelta(t, c.exact, called.Value(), 3.5*math.Sqrt(c.exact*(1-c.exact)/runs), "%+v", c)
		}
	}
}

// calledReliable reports whether a pilot is called reliable after any trial.
func calledReliable(chance float64, trials, aDay int, rng *rand.Rand) bool {
	var e evidence
	for i := range trials {
		at := firstDay.AddDate(0, 0, i/aDay)
		e.add(at, rng.Float64() < chance)
		if e.last == stat.CalledGood {
			return true
		}
	}
	return false
}

// TestReliableThroughTheChain: the same for pilots whose holds scatter, judged
// flick by flick by the chain of a rig.
func TestReliableThroughTheChain(t *testing.T) {
	const learners = 300
	rig := narrowWindow()
	w := rig.Camera.Window()
	for _, c := range []struct {
		quantile, chance float64
		within           int
		least, most      float64
	}{{2.5758, 0.99, 120, 0.90, 1}, {1.6449, 0.90, 600, 0, 0.10}} {
		l := learner{spreadFor(w, c.quantile), rand.New(rand.NewPCG(11, 12))}
		var called, flicks stat.Rate
		for range learners {
			called.Add(l.becomesReliable(rig, c.within, &flicks))
		}
		require.InDelta(t, c.chance, flicks.Value(), 0.006)
		require.GreaterOrEqual(t, called.Value(), c.least)
		require.LessOrEqual(t, called.Value(), c.most)
	}
}

// becomesReliable lets a learner flick on the rig until called reliable.
func (l *learner) becomesReliable(rig sim.Rig, within int, flicks *stat.Rate) bool {
	chain := sim.NewLinkedChain(rig, rig.Camera.Window(), 1000, 0, nil)
	w := rig.Camera.Window()
	var past Past
	at := sim.Second
	for range within {
		chain.Move(at, 2000)
		up := at + l.hold((w.MinPress+w.LongPress)/2)
		chain.Move(up, 1000)
		chain.Advance(up + sim.Second)
		presses := chain.Chain().SoFar().Presses
		right := presses[len(presses)-1].Verdict == sim.VerdictToggle
		flicks.Add(right)
		past.Add(Result{Kind: KindFlick, Right: right})
		if past.Reliability(KindFlick).Last == stat.CalledGood {
			return true
		}
		at += 2 * sim.Second
	}
	return false
}

// firstDay is the first day of practice in these tests.
var firstDay = time.Date(2025, time.June, 2, 18, 0, 0, 0, time.UTC)

// TestLearnerBecomesReliable runs the whole trainer: a learner whose spread shrinks
// from drill to drill climbs the levels, and is called reliable at the end but not
// at the beginning.
func TestLearnerBecomesReliable(t *testing.T) {
	rig := narrowWindow()
	l := learner{220e3, rand.New(rand.NewPCG(13, 14))}
	var past Past
	var levels []int
	var decisions []stat.Decision
	for drill := range uint64(12) {
		p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: drill, Past: past, Aim: 400 * ms})
		p.every = 20 * ms
		for !p.drill.Over() {
			if p.view().Phase == PhaseAct {
				p.flick(l.hold(400 * ms))
			}
			p.wait(100 * ms)
		}
		past = p.drill.Past()
		levels = append(levels, past.Level(KindFlick))
		decisions = append(decisions, past.Reliability(KindFlick).Last)
		l.spread *= 0.75
	}
	require.Equal(t, stat.CalledBad, decisions[0])
	require.Equal(t, stat.CalledGood, decisions[11])
	require.Less(t, levels[0], 3)
	require.Greater(t, levels[11], levels[0]+6)
}

// provenOn returns the past, as of a time, of a pilot who was proven reliable on the
// first day and had trials on later days.
func provenOn(now time.Time, later ...int) Past {
	past := NewPast(now)
	for range past.Reliability(KindFlick).needed() {
		past.AddAt(firstDay, Result{Kind: KindFlick, Right: true})
	}
	for _, day := range later {
		past.AddAt(firstDay.AddDate(0, 0, day), Result{Kind: KindFlick, Right: true})
	}
	return past
}

func TestReliabilitySaysWhatIsMissing(t *testing.T) {
	past := NewPast(firstDay)
	said := func() string { return past.Reliability(KindFlick).Words() }
	require.Equal(t, "undecided: 39 more right in a row prove it reliable", said())
	past = provenOn(firstDay)
	require.Equal(t, "reliable: better than 9 in 10 (2025-06-02)", said())
	past.Add(Result{Kind: KindFlick})
	require.Contains(t, said(), "reliable: ", "a single miss does not undo it")
	past.Add(Result{Kind: KindFlick})
	require.Contains(t, said(), "not reliable yet: a new test has started; 53 right in a row pass it", "the third test has an eighth of the error")
	require.Equal(t, stat.Rate{Hits: 39, Trials: 41}, past.Reliability(KindFlick).All)
}

// TestRecheck: a recheck is due on the first, third, seventh and thirtieth day after
// the decision, until there is a trial. Then the decision ages out.
func TestRecheck(t *testing.T) {
	for _, c := range []struct {
		day   int
		later []int
		due   bool
	}{
		{0, nil, false}, {1, nil, true}, {1, []int{1}, false}, {2, []int{1}, false}, {3, []int{1}, true}, {3, []int{2}, true},
		{6, []int{3}, false}, {7, []int{3}, true}, {7, nil, true}, {29, []int{8}, false}, {30, []int{8}, true}, {30, []int{30}, false},
	} {
		past := provenOn(firstDay.AddDate(0, 0, c.day).Add(-12*time.Hour), c.later...)
		if c.day == 0 {
			past = provenOn(firstDay)
		}
		r := past.Reliability(KindFlick)
		require.Equal(t, stat.CalledGood, r.Last)
		require.Equal(t, c.due, r.Due, "day %d, trials on %v", c.day, c.later)
		require.Equal(t, c.due, strings.Contains(r.Words(), "due for a recheck"))
		require.Equal(t, c.due, len(past.Due()) == 1)
	}
	past := provenOn(firstDay.AddDate(0, 0, 31), 30)
	r := past.Reliability(KindFlick)
	require.Equal(t, stat.Undecided, r.Last)
	require.True(t, r.lapsed)
	require.False(t, r.Due)
	require.Equal(t, "was reliable on 2025-06-02: 45 right in a row confirm it again", r.Words(), "the second test has a quarter of the error, and the trial of day 30 counts in it")
	require.Equal(t, stat.Rate{Hits: 1, Trials: 1}, r.All)
}

// TestNextIsARecheck if all drills are reliable and some are due.
func TestNextIsARecheck(t *testing.T) {
	past := NewPast(firstDay.AddDate(0, 0, 1))
	for _, k := range tracks {
		at := firstDay
		if k != KindCut {
			at = firstDay.AddDate(0, 0, 1)
		}
		for range 39 {
			past.AddAt(at, Result{Kind: k, Right: true})
		}
	}
	require.Equal(t, []Kind{KindCut}, past.Due())
	require.Equal(t, KindCut, past.Next())
	past.Add(Result{Kind: KindCut, Right: true})
	require.Empty(t, past.Due())
	require.Equal(t, KindMixed, past.Next())
}

// The states of a drill, from the first trial to a test that has aged out.
func TestADrillsStateIsAWord(t *testing.T) {
	day := time.Date(2025, time.June, 3, 18, 0, 0, 0, time.UTC)
	state := func(trials int, right bool, days int) string {
		past := NewPast(day.AddDate(0, 0, days))
		for range trials {
			past.AddAt(day, Result{Kind: KindFlick, Right: right})
		}
		r := past.Reliability(KindFlick)
		return r.State()
	}
	require.Equal(t, "untried", state(0, true, 0))
	require.Equal(t, "learning", state(3, true, 0))
	require.Equal(t, "learning", state(40, false, 0))
	require.Equal(t, "reliable", state(40, true, 0))
	require.Equal(t, "due", state(40, true, 1))
	require.Equal(t, "lapsed", state(40, true, 31))
}
