package trainer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

const (
	ms  = sim.Millisecond
	sec = sim.Second
)

// pilot drives a drill: it flicks and lets time pass in between.
type pilot struct {
	t     *testing.T
	drill *Drill
	at    sim.Micros
	every sim.Micros // between ticks
}

func startDrill(t *testing.T, s Setup) *pilot {
	t.Helper()
	if s.Rig.Switch.Press == nil {
		s.Rig = sim.DefaultRig()
	}
	d, err := New(s)
	require.NoError(t, err)
	p := &pilot{t, d, 1000 * sec, 10 * ms}
	d.Start(p.at, 1000)
	return p
}

func (p *pilot) wait(for_ sim.Micros) {
	for end := p.at + for_; p.at < end; {
		p.at = min(end, p.at+p.every)
		p.drill.Tick(p.at)
	}
}

// flick presses now and releases after hold.
func (p *pilot) flick(hold sim.Micros) {
	p.drill.Move(p.at, 2000)
	p.wait(hold)
	p.drill.Move(p.at, 1000)
}

func (p *pilot) view() View { return p.drill.View(p.at) }

// waitFor lets time pass until the drill is in a phase.
func (p *pilot) waitFor(phase Phase) {
	p.t.Helper()
	for range 6000 {
		if p.view().Phase == phase {
			return
		}
		p.wait(10 * ms)
	}
	p.t.Fatalf("phase %d did not come: %+v", phase, p.view())
}

func (p *pilot) lastResult() Result {
	p.t.Helper()
	results := p.drill.Results()
	require.NotEmpty(p.t, results)
	return results[len(results)-1]
}

func TestFlickDrillSaysVerdictWithMargin(t *testing.T) {
	for _, c := range []struct {
		hold  sim.Micros
		right bool
		words string
	}{
		{310 * ms, true, "310 ms: toggles, 230 ms to spare"},
		{50 * ms, false, "50 ms: too short by 30 ms"},
		{1620 * ms, false, "1620 ms: too long by 120 ms"},
		{80 * ms, true, "80 ms: toggles, 0 ms to spare; 270 ms too short for 350 ms"},
	} {
		p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
		p.waitFor(PhaseAct)
		p.flick(c.hold)
		p.wait(100 * ms)
		r := p.lastResult()
		require.Equal(t, c.words, r.Words)
		require.Equal(t, c.right, r.Right)
	}
}

// TestTakeDrill: the score is the take's own length, from the rig's chain.
func TestTakeDrill(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.StartDelay = 200 * ms
	p := startDrill(t, Setup{Kind: KindTake, Rig: rig, Seed: 3})
	p.waitFor(PhaseAct)
	length := p.drill.trial.(*takeTrial).length
	p.flick(300 * ms)
	p.wait(length - 100*ms)
	require.Zero(t, p.view().TakeFor, "the pilot counts")
	require.Equal(t, sim.StateRecording, p.view().Tally)
	p.flick(300 * ms) // ends the take 200 ms late and the start delay early
	p.wait(100 * ms)
	r := p.lastResult()
	require.True(t, r.Right)
	require.True(t, r.Within)
	require.Equal(t, sim.Micros(0), r.Off)
	require.Contains(t, r.Words, "on target")
}

// TestTakeThatDoesNotStart ends the trial at once, and the next begins in
// standby again.
func TestTakeThatDoesNotStart(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindTake, Seed: 3})
	p.waitFor(PhaseAct)
	p.flick(1600 * ms)
	p.wait(100 * ms)
	r := p.lastResult()
	require.False(t, r.Right)
	require.Equal(t, "the take did not start: 1600 ms: too long by 100 ms", r.Words)
	require.Equal(t, sim.StateStandby, p.view().Tally, "switched on again for the next trial")
}

func TestCutDrill(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.StopDelay, rig.Camera.StartDelay = 400*ms, 100*ms
	for _, c := range []struct {
		name    string
		between sim.Micros
		right   bool
		words   string
		off     sim.Micros
	}{
		// 500 ms to the press, 200 ms of it, 100 ms to the take; the camera
		// needs 400 + 80 + 100.
		{"in time", 500 * ms, true, "800 ms between the takes: 220 ms more than the camera needs", 220 * ms},
		{"while it is busy", 300 * ms, false, "no new take: 200 ms: too soon by 100 ms, the camera was busy", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := startDrill(t, Setup{Kind: KindCut, Rig: rig, Seed: 3})
			p.waitFor(PhaseAct)
			p.flick(200 * ms)
			p.wait(c.between)
			p.flick(200 * ms)
			p.wait(100 * ms)
			r := p.lastResult()
			require.Equal(t, c.words, r.Words)
			require.Equal(t, c.right, r.Right)
			require.Equal(t, c.off, r.Off)
		})
	}
}

func TestPatternDrill(t *testing.T) {
	pattern := Pattern{Name: "Mark rounding"}
	pattern.add(0, 300*ms)
	pattern.add(700*ms, 300*ms)
	for _, c := range []struct {
		name          string
		second        sim.Micros
		right, within bool
		words         string
	}{
		{"followed", 300 * ms, true, true, "every press and gap on target"},
		{"held on", 370 * ms, true, true, "worst at press 2: 70 ms too long"},
		{"held far too long", 900 * ms, false, false, "worst at press 2: 600 ms too long"},
		{"too brief", 40 * ms, false, false, "worst at press 2: 260 ms too short"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := startDrill(t, Setup{Kind: KindPattern, Pattern: &pattern, Seed: 5})
			p.waitFor(PhaseAct)
			p.flick(300 * ms)
			p.wait(700 * ms)
			require.Equal(t, sec, p.view().Timeline.At)
			p.flick(c.second)
			p.wait(100 * ms)
			r := p.lastResult()
			require.Equal(t, c.words, r.Words)
			require.Equal(t, []bool{c.right, c.within}, []bool{r.Right, r.Within})
		})
	}
}

// TestPatternMayAskForLongPress: a pattern that is followed is right, whatever the
// camera makes of it.
func TestPatternMayAskForLongPress(t *testing.T) {
	pattern := Pattern{Name: "Power off"}
	pattern.add(0, 1600*ms)
	p := startDrill(t, Setup{Kind: KindPattern, Pattern: &pattern, Seed: 5})
	p.waitFor(PhaseAct)
	p.flick(1600 * ms)
	p.wait(100 * ms)
	require.True(t, p.lastResult().Right)
}

func TestBlindDrillAsksWhetherItRecords(t *testing.T) {
	for _, answer := range []bool{true, false} {
		p := startDrill(t, Setup{Kind: KindBlind, Seed: 8})
		toggles := 0
		for p.view().Phase != PhaseAsk {
			if p.view().Phase == PhaseAct {
				require.True(t, p.view().TallyHidden)
				require.False(t, p.view().Hold.Shown)
				hold := 300 * ms
				if toggles == 1 {
					hold = 50 * ms // one that the camera ignores
				}
				p.flick(hold)
				toggles++
			}
			p.wait(50 * ms)
		}
		require.Equal(t, "Is the camera recording?", p.view().Question)
		p.drill.Answer(p.at, answer)
		r := p.lastResult()
		require.Equal(t, answer == ((toggles-1)%2 == 1), r.Right)
		require.Contains(t, r.Words, "flicks toggled")
	}
}

func TestHandsOffDrill(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindHandsOff, Seed: 2})
	p.wait(3 * sec)
	p.flick(300 * ms)
	require.Equal(t, "touched", p.lastResult().Words)
	require.False(t, p.lastResult().Right)
	for len(p.drill.Results()) < 8 {
		if p.view().Phase == PhaseAct {
			p.flick(300 * ms)
		}
		p.wait(100 * ms)
	}
	meant := 0
	for _, r := range p.drill.Results()[1:] {
		require.True(t, r.Right)
		if r.Words != "left alone" {
			meant++
		}
	}
	require.Positive(t, meant, "some trials end with a real cue")
	require.Less(t, meant, 7, "most are not")
}

// TestAMeantCueWithTheHandsOffExpires: a pilot who does nothing misses a real cue,
// and is right without one.
func TestAMeantCueWithTheHandsOffExpires(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindHandsOff, Seed: 2})
	for !p.drill.Over() {
		p.wait(sec)
	}
	seen := map[Outcome]int{}
	for _, r := range p.drill.Results() {
		seen[r.Outcome]++
		require.Equal(t, r.Words == "left alone", r.Right)
	}
	require.Equal(t, len(p.drill.Results()), seen[OutcomeRight]+seen[OutcomeMissed])
	require.Positive(t, seen[OutcomeRight])
	require.Positive(t, seen[OutcomeMissed])
}

// TestFlickAfterTouchIsNotTheNextTrials: the flick that a touch starts is listed,
// but belongs to no trial.
func TestFlickAfterTouchIsNotTheNextTrials(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindHandsOff, Seed: 2})
	p.wait(3 * sec)
	p.flick(300 * ms)
	p.wait(1 * sec)
	require.Len(t, p.drill.Results(), 1)
	require.Len(t, p.drill.Flicks(), 1)
}

// TestNoEdgeIsDroppedWhileVerdictShows: every flick is judged, and those while a
// verdict shows are early.
func TestNoEdgeIsDroppedWhileVerdictShows(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	for range 10 {
		p.flick(300 * ms)
		p.wait(150 * ms)
	}
	p.wait(100 * ms)
	require.Len(t, p.drill.Flicks(), 10)
	require.Len(t, p.drill.Results(), 10)
	require.Equal(t, OutcomeRight, p.outcomes()[0])
	for _, o := range p.outcomes()[1:] {
		require.Equal(t, OutcomeEarly, o)
	}
}

// TestSlowStartIsNoFault: a flick is not scored by how soon after the cue it
// starts, until it is too late and counts as missed.
func TestSlowStartIsNoFault(t *testing.T) {
	outcome := func(wait sim.Micros) Result {
		p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
		p.waitFor(PhaseAct)
		p.wait(wait)
		p.flick(300 * ms)
		p.wait(100 * ms)
		r := p.lastResult()
		r.Began, r.Ended = 0, 0
		return r
	}
	require.Equal(t, outcome(0), outcome(1900*ms))
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	p.wait(2100 * ms)
	require.Equal(t, OutcomeMissed, p.lastResult().Outcome)
	require.Equal(t, "no flick within 2 s of the cue", p.lastResult().Words)
}

func TestColdFlickStandsForItself(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1, Cold: true})
	for range 3 {
		p.waitFor(PhaseAct)
		p.flick(50 * ms)
		p.wait(2 * sec)
	}
	results := p.drill.Results()
	require.Equal(t, []bool{true, false, false}, []bool{results[0].Cold, results[1].Cold, results[2].Cold})
	score := NewScore(p.drill.Flicks(), results)
	require.Equal(t, 1, score.Cold.Trials)
	require.Equal(t, 2, score.Toggled.Trials)
	past := p.drill.Past()
	require.Equal(t, 2, past.Reliability(KindFlick).All.Trials)
}

// TestNothingBelowResolutionIsJudged checks a hold at the edge of the window, and a
// distance from the aim.
func TestNothingBelowResolutionIsJudged(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1, Resolution: 20 * ms})
	for _, hold := range []sim.Micros{70 * ms, 95 * ms, 1490 * ms, 365 * ms} {
		p.waitFor(PhaseAct)
		p.flick(hold)
		p.wait(2 * sec)
	}
	results := p.drill.Results()
	for _, r := range results[:3] {
		require.True(t, r.Uncounted)
		require.Contains(t, r.Words, "too close to call")
	}
	require.False(t, results[3].Uncounted)
	require.Zero(t, results[3].Off)
	require.Equal(t, 1, NewScore(nil, results).Kinds[0].Right.Trials)
}

func TestPressedSwitchHasToRestFirst(t *testing.T) {
	d, err := New(Setup{Kind: KindFlick, Rig: sim.DefaultRig()})
	require.NoError(t, err)
	d.Start(0, 2000)
	p := &pilot{t, d, 0, 10 * ms}
	p.wait(5 * sec)
	require.Equal(t, PhaseRest, p.view().Phase)
	require.Equal(t, sim.Never, d.Deadline())
	d.Move(p.at, 1000)
	require.Equal(t, PhaseWait, p.view().Phase)
	require.Equal(t, Length, p.view().Left, "the drill's time does not run meanwhile")
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	p.wait(100 * ms)
	require.True(t, p.lastResult().Right)
}

func TestPauseDropsOnlyTheTrialInHand(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	p.wait(100 * ms)
	p.waitFor(PhaseAct)
	left := p.view().Left
	p.drill.Pause(p.at)
	require.Equal(t, PhasePaused, p.view().Phase)
	p.wait(1000 * sec)
	require.InDelta(t, float64(left), float64(p.view().Left), float64(50*ms))
	p.drill.Resume(p.at, 1000)
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	p.wait(100 * ms)
	require.Len(t, p.drill.Results(), 2)
	require.True(t, p.lastResult().Right)
	require.Len(t, p.drill.Runs(), 2)
}

// TestStopKeepsWhatWasDone: a flick that has just been released is judged, one that
// is still held is not.
func TestStopKeepsWhatWasDone(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Line.Delay = 200 * ms
	for _, holding := range []bool{false, true} {
		p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
		p.waitFor(PhaseAct)
		p.flick(300 * ms)
		if holding {
			p.wait(500 * ms)
			p.drill.Move(p.at, 2000)
			p.wait(50 * ms)
		}
		p.drill.Stop(p.at)
		require.True(t, p.drill.Over())
		require.Equal(t, sim.Never, p.drill.Deadline())
		require.Len(t, p.drill.Flicks(), 1)
		require.Len(t, p.drill.Results(), 1)
		p.drill.Move(p.at, 1000)
		p.wait(10 * sec)
		require.Len(t, p.drill.Flicks(), 1)
	}
}

// TestDrillEnds: every drill ends by itself after one to three minutes.
func TestDrillEnds(t *testing.T) {
	for _, kind := range tracks {
		p := startDrill(t, Setup{Kind: kind, Seed: 1})
		begun := p.at
		for !p.drill.Over() {
			require.Less(t, p.at-begun, 4*sim.Minute, kind)
			switch p.view().Phase {
			case PhaseAct:
				p.flick(300 * ms)
			case PhaseAsk:
				p.drill.Answer(p.at, true)
			}
			p.wait(300 * ms)
		}
		require.GreaterOrEqual(t, p.at-begun, sim.Minute, kind)
		require.LessOrEqual(t, p.at-begun, longest+sec, kind)
		require.Greater(t, len(p.drill.Results()), 5, kind)
	}
}

// TestBarRuns: the bar follows the hold, in whatever state the camera starts.
func TestBarRuns(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	p.drill.Move(p.at, 2000)
	for _, hold := range []sim.Micros{0, 300 * ms, 750 * ms, 1500 * ms, 2000 * ms} {
		bar := p.drill.View(p.at + hold).Hold
		require.True(t, bar.Holding)
		require.Equal(t, hold, bar.Hold)
		require.Equal(t, sim.DefaultRig().Camera, bar.Camera)
	}
}

// TestDrillRefusesRigs: New refuses rigs that cannot be practised on.
func TestDrillRefusesRigs(t *testing.T) {
	inverted := sim.DefaultRig()
	inverted.Line.Active = sim.ActiveLow
	alwaysPressed := sim.DefaultRig()
	alwaysPressed.Switch.Press = []sim.PulseRange{{Low: 700, High: 2300}}
	for _, c := range []struct {
		name  string
		setup Setup
		want  string
	}{
		{"drill unknown", Setup{Kind: "juggle", Rig: sim.DefaultRig()}, `found drill "juggle", want "flick", "steady"`},
		{"rig invalid", Setup{Kind: KindFlick}, "cannot practise with this rig: "},
		{"inverted", Setup{Kind: KindFlick, Rig: inverted}, "presses the button while the switch rests"},
		{"no rest", Setup{Kind: KindFlick, Rig: alwaysPressed}, "no position of the switch releases the button"},
		{"nothing to review", Setup{Kind: KindReview, Rig: sim.DefaultRig()}, "found no mistake at the switch"},
	} {
		_, err := New(c.setup)
		require.ErrorContains(t, err, c.want, c.name)
	}
}
