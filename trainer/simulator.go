package trainer

import (
	"math/rand/v2"

	"flicktally/sim"
)

// simulator runs the link and chain of package sim with a hand at the switch, and
// collects the hand's flicks with what the camera saw of them. Times count from
// the start of the drill unless they are of the chain.
type simulator struct {
	run    Run
	rig    sim.Rig
	linked *sim.LinkedChain

	hand    sim.Selector // follows the switch itself
	moves   []Move       // since the last flick
	pending []Flick
	taken   int // presses of the chain already assigned to a flick
}

// Run is one stretch of practice in which the rig ran without a break: a drill
// starts a new one after a pause, or to make the camera ready. The samples follow
// from a Run, the moves and the drill's seed; see [Run.Samples].
type Run struct {
	N    int        // from 1
	From sim.Micros // when it began, from the start of the drill
	// Phase is the time of the chain at which the run began, within one period of
	// the line's refresh.
	Phase sim.Micros
	Rest  sim.PulseWidth // where the switch was
	Start sim.StartState // of the camera
}

// source returns the random source for the phases and lost frames of a run.
func source(seed uint64, run int) *rand.Rand { return rand.New(rand.NewPCG(seed, uint64(run))) }

func newSimulator(rig sim.Rig, seed uint64, run Run) *simulator {
	chance := source(seed, run.N)
	run.Phase = rig.Line.RefreshPhase(chance)
	frame := rig.Link.FramePhase(chance)
	rig.Camera.Start = run.Start
	return &simulator{
		run: run, rig: rig, hand: newHand(rig, run.Rest),
		linked: sim.NewLinkedChain(rig, rig.Camera.Window(), run.Rest, frame, chance),
	}
}

// newHand returns a selector that follows the switch without loss.
func newHand(rig sim.Rig, value sim.PulseWidth) sim.Selector {
	rig.SignalLoss.Then = sim.LossHold
	hand := sim.NewSelector(rig.Switch, rig.SignalLoss)
	if rig.Switch.IsValid(value) {
		hand.Step(0, value)
	}
	return hand
}

// Samples returns what the link of a run delivered, at times of the chain. The
// moves of the hand and the end of the run count from the start of the drill. A
// value is repeated just before a move that arrives at once, so that a replay
// knows how precise the hold is, and at the end, as a log ends with its last
// sample. A replay of the samples gives the presses that the drill judged.
func (r Run) Samples(rig sim.Rig, seed uint64, moves []Move, end sim.Micros) []sim.Sample {
	chance := source(seed, r.N)
	phase := rig.Line.RefreshPhase(chance)
	link := sim.NewLink(rig, r.Rest, rig.Link.FramePhase(chance), chance)
	samples := []sim.Sample{{At: 0, Channel: r.Rest, Armed: sim.Absent}}
	send := func(before sim.Micros) {
		for due := link.Deadline(); due < before; due = link.Deadline() {
			if s, arrived := link.Expire(due); arrived {
				samples = append(samples, s)
			}
		}
	}
	for _, m := range moves {
		at := m.At - r.From + phase
		send(at)
		if s, sent := link.Step(at, m.Value); sent {
			samples = append(holdUntil(samples, at-1), s)
		}
	}
	last := end - r.From + phase
	send(last + 1)
	return holdUntil(samples, last)
}

// holdUntil repeats the last value at a later moment.
func holdUntil(samples []sim.Sample, at sim.Micros) []sim.Sample {
	s := samples[len(samples)-1]
	if s.At < at {
		s.At = at
		samples = append(samples, s)
	}
	return samples
}

// move handles a move of the switch and returns the edge that the hand made. If
// both edges start a pulse, each is a flick: a press without a hold.
func (s *simulator) move(m Move) (pressed, changed bool) {
	s.moves = append(s.moves, m)
	s.linked.Move(s.toChain(m.At), m.Value)
	if !s.rig.Switch.IsValid(m.Value) {
		return false, false
	}
	e, changed := s.hand.Step(m.At, m.Value)
	if !changed {
		return e.Pressed, false
	}
	if everyMoveCounts(s.rig) {
		s.pending = append(s.pending, Flick{Run: s.run.N, Down: m.At, Up: m.At, Moves: s.moves})
		s.moves = nil
		return true, true
	}
	if e.Pressed {
		s.pending = append(s.pending, Flick{Run: s.run.N, Down: m.At, Up: sim.Never})
		return true, true
	}
	f := &s.pending[len(s.pending)-1]
	f.Up, f.Moves = m.At, s.moves
	s.moves = nil
	return false, true
}

// advance processes everything before the moment to.
func (s *simulator) advance(to sim.Micros) { s.linked.Advance(s.toChain(to)) }

func (s *simulator) toChain(at sim.Micros) sim.Micros { return at - s.run.From + s.run.Phase }
func (s *simulator) fromChain(at sim.Micros) sim.Micros {
	if at == sim.Never {
		return sim.Never
	}
	return at - s.run.Phase + s.run.From
}

// camera returns the camera after the last advance.
func (s *simulator) camera() *sim.Camera { return s.linked.Chain().Camera() }

// state returns the state of the camera, from the start of the run on.
func (s *simulator) state() sim.State {
	if state := s.camera().State(); state != "" {
		return state
	}
	return sim.State(s.run.Start)
}

// holding reports whether the hand presses the switch, and since when.
func (s *simulator) holding() (sim.Micros, bool) {
	if n := len(s.pending); n > 0 && s.pending[n-1].Up == sim.Never {
		return s.pending[n-1].Down, true
	}
	return 0, false
}

// idle reports whether no flick is under way.
func (s *simulator) idle() bool { return len(s.pending) == 0 }

// next returns the first pending flick if it is over at the last advance, to now:
// the switch has been released and the camera can see no more of it.
func (s *simulator) next(now sim.Micros) (Flick, bool) {
	if s.idle() || s.pending[0].Up == sim.Never {
		return Flick{}, false
	}
	f, until := s.pending[0], sim.Never
	if len(s.pending) > 1 {
		until = s.toChain(s.pending[1].Down) + s.leastLag()
	}
	if p, down := s.camera().Holding(); down && p.Down < until {
		return Flick{}, false
	}
	if s.toChain(now) < min(until, s.overAt(f)) {
		return Flick{}, false
	}
	s.pending = s.pending[1:]
	s.collect(&f, until)
	return f, true
}

// leastLag is the shortest time from the hand's move to the camera's press.
func (s *simulator) leastLag() sim.Micros { return s.rig.Switch.Settle + s.rig.Line.Delay }

// overAt returns the time of the chain from which the camera can see no more
// edges of a flick, if nothing else happens.
func (s *simulator) overAt(f Flick) sim.Micros {
	chain := s.linked.Chain()
	if after := newHand(s.rig, f.Moves[len(f.Moves)-1].Value); chain.Pressed() != after.Pressed() {
		return sim.Never // the last move has not come through the link
	}
	last := s.toChain(f.Up)
	if edges := chain.SoFar().Lanes.Position.Edges; len(edges) > 0 {
		last = max(last, edges[len(edges)-1].At)
	}
	return last + s.rig.Switch.Settle + s.rig.Line.Update + s.rig.Line.Delay + 1
}

// collect assigns the presses before a moment to the flick that caused them. A
// press that no hand caused belongs to no flick.
func (s *simulator) collect(f *Flick, until sim.Micros) {
	record := s.linked.Chain().SoFar().Record
	from := s.toChain(f.Down) + s.leastLag()
	for ; s.taken < len(record.Presses); s.taken++ {
		p := record.Presses[s.taken]
		if p.Down >= until {
			break
		}
		if p.Down < from {
			continue
		}
		for _, t := range record.Takes {
			if t.EndedBy == p.N {
				f.Took = t.Length()
			}
		}
		f.Wait = s.busyFor(record, p)
		f.Presses = append(f.Presses, s.pressFromChain(p))
	}
}

// busyFor returns how long the camera was still busy when a press came.
func (s *simulator) busyFor(record sim.Record, p sim.Press) sim.Micros {
	if p.Verdict != sim.VerdictBusy {
		return 0
	}
	for _, change := range record.States {
		if change.At > p.Down {
			return change.At - p.Down
		}
	}
	return s.camera().BusyUntil() - p.Down
}

func (s *simulator) pressFromChain(p sim.Press) sim.Press {
	p.Down, p.Up = s.fromChain(p.Down), s.fromChain(p.Up)
	p.Effect, p.Acts = s.fromChain(p.Effect), s.fromChain(p.Acts)
	return p
}
