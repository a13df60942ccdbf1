package trainer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/stat"
	"flicktally/sim/tell"
)

// TestMixedPicksByWeakness: the drill that fails most comes up most often, the one
// that never fails least often, and none comes three times in a row.
func TestMixedPicksByWeakness(t *testing.T) {
	var past Past
	for i := range 60 {
		for _, k := range tracks {
			past.Add(Result{Kind: k, Right: k != KindBlind || i%4 == 0})
		}
	}
	p := startDrill(t, Setup{Kind: KindMixed, Seed: 4, Past: past})
	counts := map[Kind]int{}
	var last [2]Kind
	for range 2000 {
		p.drill.nextTrial()
		k := p.drill.trial.what()
		require.False(t, k == last[0] && k == last[1], "three times %s", k)
		last[0], last[1] = last[1], k
		counts[k]++
	}
	for _, k := range tracks {
		require.Positive(t, counts[k], "%s comes up at all", k)
		if k != KindBlind {
			require.Greater(t, counts[KindBlind], 3*counts[k], "blind count is the weak one, not %s", k)
		}
	}
}

// TestReviewRedoesAFlight: each finding becomes two trials, whose hint says what went
// wrong.
func TestReviewRedoesAFlight(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.LongAction, rig.Camera.StartDelay = sim.ActionNone, 500*ms
	chain := sim.NewLinkedChain(rig, rig.Camera.Window(), 1000, 0, nil)
	for _, press := range []struct{ at, hold sim.Micros }{
		{1 * sec, 50 * ms}, {5 * sec, 300 * ms}, {5400 * ms, 200 * ms}, {20 * sec, 1700 * ms}, {30 * sec, 300 * ms},
	} {
		chain.Move(press.at, 2000)
		chain.Move(press.at+press.hold, 1000)
	}
	mistakes := Mistakes(tell.Findings(chain.Finish(40*sec), tell.DefaultLimits()))
	var remedies []Kind
	for _, m := range mistakes {
		remedies = append(remedies, m.Remedy)
	}
	require.Equal(t, []Kind{KindFlick, KindCut, KindFlick}, remedies)

	p := startDrill(t, Setup{Kind: KindReview, Rig: rig, Seed: 4, Review: mistakes})
	done := map[Kind]int{}
	shown := map[string]int{}
	for !p.drill.Over() {
		v := p.view()
		if v.Phase == PhaseAct {
			done[v.Kind]++
			shown[v.Hint]++
			p.flick(300 * ms)
			if v.Kind == KindCut {
				p.wait(100 * ms)
				p.flick(300 * ms)
			}
		}
		p.wait(100 * ms)
	}
	require.Len(t, shown, 3, "each is shown")
	require.InDelta(t, 2*done[KindCut], done[KindFlick], 2, "two of three were no cut: %v", done)
	for _, r := range p.drill.Results() {
		require.True(t, r.Right, r.Words)
	}
}

// TestReviewWeighsByHowOften: over 60 turns each fault gets its share, and each has
// had a turn before one comes again.
func TestReviewWeighsByHowOften(t *testing.T) {
	var findings []tell.Finding
	for range 3 {
		findings = append(findings, tell.Finding{Code: "short-press", Count: 1}, tell.Finding{Code: "busy-press", Count: 2})
	}
	findings = append(findings, tell.Finding{Code: "off-press", Count: 1}, tell.Finding{Code: "signal-lost", Count: 9})
	p := startDrill(t, Setup{Kind: KindReview, Seed: 4, Review: Mistakes(findings)})
	turns := map[Kind]int{p.drill.trial.what(): 1}
	for range 59 {
		p.drill.nextTrial()
		turns[p.drill.trial.what()]++
	}
	require.Equal(t, map[Kind]int{KindFlick: 18, KindCut: 36, KindBlind: 6}, turns)
}

// TestRemediesNameFindings: every code is that of a finding.
func TestRemediesNameFindings(t *testing.T) {
	known := map[tell.Code]bool{}
	for _, rule := range tell.Rules() {
		known[rule.Code] = true
	}
	for code, kind := range remedies {
		require.True(t, known[code], code)
		require.Contains(t, tracks, kind)
	}
}

// TestKindsExplainThemselves: every kind has a title and a rule of one line.
func TestKindsExplainThemselves(t *testing.T) {
	require.Len(t, about, len(Kinds))
	for _, k := range Kinds {
		require.NotEmpty(t, k.Title(), k)
		require.NotEmpty(t, k.Rule(), k)
		require.LessOrEqual(t, len(k.Rule()), 76, k)
		parsed, err := ParseKind(string(k))
		require.NoError(t, err)
		require.Equal(t, k, parsed)
	}
}

// TestNextIsTheWeakest of the drills that are not reliable yet.
func TestNextIsTheWeakest(t *testing.T) {
	var past Past
	require.Equal(t, KindFlick, past.Next(), "a beginner's first")
	for range past.Reliability(KindFlick).needed() {
		for _, k := range tracks {
			past.Add(Result{Kind: k, Right: true})
		}
	}
	require.Equal(t, stat.CalledGood, past.Reliability(KindCut).Last)
	require.Equal(t, KindMixed, past.Next())
	past.Add(Result{Kind: KindCut})
	past.Add(Result{Kind: KindCut})
	require.Equal(t, KindCut, past.Next())
}

// TestPastIsACopy: a Past that was returned does not change with the drill.
func TestPastIsACopy(t *testing.T) {
	var past Past
	past.Add(Result{Kind: KindFlick, Right: true})
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1, Past: past})
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	p.wait(sec)
	after := p.drill.Past()
	require.Equal(t, 1, past.Reliability(KindFlick).Trials)
	require.Equal(t, 2, after.Reliability(KindFlick).Trials)
}
