package rigcheck

import "flicktally/sim"

// The positions of a switch by convention, and an ordinary flick; see the
// package comment for their sources.
const (
	lowPosition    sim.PulseWidth = 1000
	centrePosition sim.PulseWidth = 1500
	highPosition   sim.PulseWidth = 2000

	endStopError sim.PulseWidth = 12

	quickFlick = 140 * sim.Millisecond
	slowFlick  = 400 * sim.Millisecond
)

var positions = []sim.PulseWidth{lowPosition, centrePosition, highPosition}

// probe plays inputs through the chain of a rig.
type probe struct {
	rig         sim.Rig
	within      sim.Micros // see Check
	window      sim.Window // the narrowest that the rig allows
	rest, press sim.PulseWidth
}

// newProbe returns a probe whose camera is in standby. The rig must be valid. If
// no position of its switch is a rest, noRest says so and no other probe is
// played.
func newProbe(rig sim.Rig, within sim.Micros) probe {
	camera := &rig.Camera
	camera.Start = sim.StartStandby
	rig.Link.Loss = 0
	rig.Log.Armed = ""
	p := probe{
		rig: rig, within: within,
		window: sim.Window{MinPress: camera.MinPress.High, LongPress: camera.LongPress.Low},
	}
	p.rest, p.press, _ = rig.RestAndPress()
	if rig.Link.Frame < p.longest()/framesAtMost {
		p.rig.Link.Frame = 0
	}
	return p
}

// framesAtMost limits the frames of a probe. Shorter frames would make no
// difference.
const framesAtMost = 10_000

// longest is about how long the longest probe of a rig lasts.
func (p probe) longest() sim.Micros {
	longest := p.settled() + p.rig.Camera.Boot
	if wake := p.rig.Camera.WakePress; wake != sim.Never {
		longest += wake
	}
	return longest
}

// startingIn returns the probe with the camera in another state.
func (p probe) startingIn(state sim.StartState) probe {
	p.rig.Camera.Start = state
	return p
}

// settled is the time after which a move of the switch has had all its effects,
// except those that wait for the next move.
func (p probe) settled() sim.Micros {
	r := p.rig
	return r.Switch.Settle + r.OneShot.Width + r.OneShot.Rest + 2*r.Link.Frame + 2*r.Line.Update + r.Line.Delay +
		r.Camera.MinGap + r.Camera.LongPress.High + r.Camera.StartDelay + r.Camera.StopDelay + 2*r.Camera.DoubleWithin + sim.Second
}

// phase says where in the periods of link and line something starts: how soon
// the next frame follows, and how soon after its arrival the line's next refresh.
type phase struct{ frameIn, refreshIn sim.Micros }

// phases lists the luckiest and the unluckiest moments. A press of width w,
// sampled every T, is seen k or k + 1 times, with k = ⌊w/T⌋: k + 1 times if it
// is sampled at once, k times if as late as possible.
func (p probe) phases() []phase {
	var all []phase
	for _, frameIn := range extremes(p.rig.Link.Frame) {
		for _, refreshIn := range extremes(p.rig.Line.Update) {
			all = append(all, phase{frameIn, refreshIn})
		}
	}
	return all
}

func extremes(period sim.Micros) []sim.Micros {
	if period <= 1 {
		return []sim.Micros{0}
	}
	return []sim.Micros{0, period - 1}
}

// begin returns the start time for a phase: after the link's first frame and
// the line's delay.
func (p probe) begin(at phase) sim.Micros {
	begin := p.rig.Link.Frame + p.rig.Line.Delay + 1
	if update := p.rig.Line.Update; update > 0 {
		arrives := begin + at.frameIn + p.rig.Switch.Settle + at.refreshIn
		begin += (update - arrives%update) % update
	}
	return begin
}

// move is a move of the switch at a time after the probe begins.
type move struct {
	after sim.Micros
	to    sim.PulseWidth
}

// play moves a switch that rests at a position, and waits for all the effects.
func (p probe) play(at phase, from sim.PulseWidth, moves ...move) *sim.Replay {
	rig := p.rig
	rig.Line.Boot = sim.BootReleased // booting is left to another probe
	if rig.Link.Frame == 0 {
		rig.SignalLoss.StaleAfter = sim.MaxDuration // such a link never loses its signal
	}
	begin := p.begin(at)
	first := sim.Micros(0)
	if rig.Link.Frame > 0 {
		first = (begin + at.frameIn) % rig.Link.Frame
	}
	chain := sim.NewLinkedChain(rig, p.window, from, first, nil)
	end := begin
	for _, m := range moves {
		end = begin + m.after
		chain.Move(end, m.to)
	}
	return chain.Finish(end + p.settled())
}

// acts returns the moves with which a pilot toggles at given times after the
// start: a flick, or one move if each edge starts a pulse.
func (p probe) acts(hold sim.Micros, after ...sim.Micros) []move {
	var moves []move
	for i, at := range after {
		switch {
		case p.rig.OneShot.Trigger != sim.TriggerBoth:
			moves = append(moves, move{at, p.press}, move{at + hold, p.rest})
		case i%2 == 0:
			moves = append(moves, move{at, p.press})
		default:
			moves = append(moves, move{at, p.rest})
		}
	}
	return moves
}

// toggling acts once, at a phase.
func (p probe) toggling(hold sim.Micros, at phase) *sim.Replay {
	return p.play(at, p.rest, p.acts(hold, 0)...)
}

// held presses the switch for a time, at the luckiest phase.
func (p probe) held(hold sim.Micros) *sim.Replay {
	return p.play(phase{}, p.rest, move{0, p.press}, move{hold, p.rest})
}

// everyPhase reports whether acting once has a good result at every phase.
func (p probe) everyPhase(hold sim.Micros, well func(*sim.Replay) bool) bool {
	for _, at := range p.phases() {
		if !well(p.toggling(hold, at)) {
			return false
		}
	}
	return true
}

// samples feeds the chain behind the link with values a microsecond apart, the
// first at t = 0, and ends a moment after them.
func (p probe) samples(values ...sim.PulseWidth) *sim.Replay {
	chain := sim.NewChainAt(p.rig, p.window)
	for i, v := range values {
		chain.Feed(sim.Sample{At: sim.Micros(i), Channel: v, Armed: sim.Absent})
	}
	return chain.Finish()
}

// counts reports whether a switch moved from rest through the positions counts
// as pressed at the last one.
func (p probe) counts(path ...sim.PulseWidth) bool {
	r := p.samples(append([]sim.PulseWidth{p.rest}, path...)...)
	return r.Lanes.Position.At(r.End)
}
