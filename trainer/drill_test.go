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

// pilot drives a drill: it flicks as told and lets time pass in between.
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
		{310 * ms, true, "0.31 s: toggles, 0.23 s to spare"},
		{50 * ms, false, "0.05 s: too short by 0.03 s"},
		{1620 * ms, false, "1.62 s: too long by 0.12 s"},
		{80 * ms, true, "0.08 s: toggles, 0.00 s to spare; 0.27 s too short for 0.35 s"},
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
