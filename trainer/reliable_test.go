package trainer

import (
	"math"
	"math/rand/v2"
	"testing"

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

// spreadFor returns the spread with which a hold about the middle of a window
// falls into it with a chance. The quantiles of the normal distribution: 2.5758
// for 99 %, 1.6449 for 90 %, two-sided.
func spreadFor(w sim.Window, quantile float64) float64 {
	return float64(w.LongPress-w.MinPress) / 2 / quantile
}

// narrowWindow has a short long-press threshold, so that spread decides.
func narrowWindow() sim.Rig {
	rig := sim.DefaultRig()
	rig.Camera.MinPress, rig.Camera.LongPress = sim.Exactly(200*ms), sim.Exactly(600*ms)
	rig.Camera.LongAction = sim.LongNone
	return rig
}

// TestReliableTellsLearnersApart: of thousands of simulated learners, judged
// flick by flick by the chain of the rig, the test calls those at 99 % reliable
// and those at 90 % not, at about the error rates that it states (5 % each;
// Wald's lines make them a bit smaller, as in the NIST example).
func TestReliableTellsLearnersApart(t *testing.T) {
	const learners = 3000
	rig := narrowWindow()
	w := rig.Camera.Window()
	for _, c := range []struct {
		name     string
		quantile float64
		chance   float64
		wrong    stat.Decision
	}{
		{"99 in 100", 2.5758, 0.99, stat.CalledBad},
		{"9 in 10", 1.6449, 0.90, stat.CalledGood},
	} {
		rng := rand.New(rand.NewPCG(11, 12))
		l := learner{spreadFor(w, c.quantile), rng}
		var wrong, flicks stat.Rate
		for range learners {
			wrong.Add(decided(rig, &l, (w.MinPress+w.LongPress)/2, &flicks) == c.wrong)
		}
		require.InDelta(t, c.chance, flicks.Value(), 0.005, c.name)
		require.LessOrEqual(t, wrong.Value(), 0.05+3*math.Sqrt(0.05*0.95/learners), c.name)
		require.Greater(t, wrong.Value(), 0.01, c.name)
	}
}

// decided lets a learner flick on the rig until the test decides.
func decided(rig sim.Rig, l *learner, aim sim.Micros, flicks *stat.Rate) stat.Decision {
	chain := sim.NewLinkedChain(rig, rig.Camera.Window(), 1000, 0, nil)
	var r Reliability
	for at := sim.Second; r.Last == stat.Undecided; at += 2 * sim.Second {
		chain.Move(at, 2000)
		up := at + l.hold(aim)
		chain.Move(up, 1000)
		chain.Advance(up + sim.Second)
		presses := chain.Chain().SoFar().Presses
		right := presses[len(presses)-1].Verdict == sim.VerdictToggle
		flicks.Add(right)
		r.Add(right)
	}
	return r.Last
}

// TestLearnerBecomesReliable: a learner whose spread shrinks from drill to
// drill climbs the levels, and is called reliable in the end and not in the
// beginning, through the whole trainer.
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

func TestReliabilitySaysWhatIsMissing(t *testing.T) {
	var r Reliability
	require.Equal(t, 31, r.Needed())
	require.Equal(t, "not decided: 31 more right in a row show it reliable", r.Words())
	for range 30 {
		r.Add(true)
	}
	require.Equal(t, 1, r.Needed())
	r.Add(true)
	require.Equal(t, stat.CalledGood, r.Last)
	require.Equal(t, "reliable: 99 in 100 rather than 9 in 10", r.Words())
	r.Add(false)
	require.Equal(t, stat.CalledGood, r.Last, "a single miss does not undo it")
	r.Add(false)
	require.Equal(t, stat.CalledBad, r.Last)
	require.Contains(t, r.Words(), "not reliable yet")
	require.Equal(t, stat.Rate{Hits: 31, Trials: 33}, r.All)
}
