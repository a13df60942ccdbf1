package trainer

import (
	"math"
	"math/rand/v2"

	"flicktally/sim"
)

// Lateness is how long after a Tick a move from before it may still arrive.
const Lateness = 30 * sim.Millisecond

// noticed is how far the switch must move to count as moved: an axis at rest
// wavers by a few µs. Common practice, no source.
const noticed = 50

// verdictFor is how long a verdict shows before the wait for the next cue.
const verdictFor = 1500 * sim.Millisecond

// grain is the interval at which a drill checks whether a flick is over, so
// that the answer does not depend on when Tick is called.
const grain = 5 * sim.Millisecond

// Drill is a drill under way. Make one with [New].
//
// Internally, time counts from Start and lags behind the ticks by [Lateness]; a
// move advances it to its own time. The drill steps through the moments at which
// something is due, however it is called.
type Drill struct {
	setup    Setup
	rig      sim.Rig // as practised
	aim      sim.Micros
	chance   *rand.Rand
	plan     plan
	patterns []Pattern // for KindPattern

	started sim.Micros // on the caller's clock
	now     sim.Micros
	value   sim.PulseWidth // of the switch
	noted   sim.PulseWidth // position of the switch after its last noticeable move
	phase   Phase          // PhaseRest, PhasePaused, phaseOver, or PhaseAct for a drill that runs

	simulator *simulator // nil while resting, paused and over
	runs      []Run
	trial     trial
	// touched: a press has begun the current trial, so the rig must not be
	// reset now.
	touched      bool
	verdictUntil sim.Micros // the last verdict shows until then

	past      Past // with the trials of this drill
	flicks    []Flick
	results   []Result
	coldFlick bool       // the current trial holds the day's first flick
	spent     sim.Micros // the press that ended a trial before its release; Never = none
	calls     []call     // since Start, for [Drill.TakeBack]
}

// Start starts the drill with the switch at value. If the switch presses, it
// must first be put to rest.
func (d *Drill) Start(at sim.Micros, value sim.PulseWidth) {
	d.note(at, func(d *Drill) { d.Start(at, value) })
	d.started, d.value = at, value
	d.begin()
}

// begin starts the rig, or stops the time until the switch rests.
func (d *Drill) begin() {
	d.phase, d.noted = PhaseRest, d.value
	if hand := newHand(d.rig, d.value); hand.Pressed() && !everyMoveCounts(d.rig) {
		return
	}
	d.phase = PhaseAct
	d.nextTrial()
}

// toDrill converts a time of the caller's clock to the drill's, and moves one
// that has passed to now.
func (d *Drill) toDrill(at sim.Micros) sim.Micros { return max(at-d.started, d.now) }

// Move handles a move of the switch.
func (d *Drill) Move(at sim.Micros, value sim.PulseWidth) {
	d.note(at, func(d *Drill) { d.Move(at, value) })
	if d.phase == PhaseRest {
		d.started, d.value = at-d.now, value
		d.begin()
		return
	}
	if d.phase == PhasePaused {
		d.pressInPause(at, value)
	}
	m := Move{d.toDrill(at), value}
	d.run(m.At)
	d.value = value
	if d.simulator == nil {
		return
	}
	moved := d.rig.Switch.IsValid(value) && math.Abs(float64(value-d.noted)) > noticed
	if moved {
		d.noted = value
	}
	switch pressed, changed := d.simulator.move(m); {
	case changed:
		d.touched = d.touched || pressed
		d.trial.hand(m.At, pressed)
	case moved:
		d.trial.moved(m.At)
	}
	d.settleTrial()
}

// pressInPause resumes the trial that was open when the pilot paused, if a move
// is a press. The press counts for that trial's cue, or as early.
func (d *Drill) pressInPause(at sim.Micros, value sim.PulseWidth) {
	was, is := newHand(d.rig, d.value), newHand(d.rig, value)
	if d.trial == nil || was.Pressed() == is.Pressed() || was.Pressed() && !everyMoveCounts(d.rig) {
		return
	}
	d.started, d.noted = at-d.now, d.value
	d.phase, d.touched = PhaseAct, false
	d.makeReady()
}

// Tick advances the time.
func (d *Drill) Tick(at sim.Micros) { d.run(d.toDrill(at - Lateness)) }

// Answer handles the pilot's answer to [View.Question].
func (d *Drill) Answer(at sim.Micros, yes bool) {
	d.note(at, func(d *Drill) { d.Answer(at, yes) })
	d.run(d.toDrill(at))
	if d.simulator != nil {
		d.trial.answer(d.now, yes)
		d.settleTrial()
	}
}

// Pause stops the time. A trial that the hand has begun counts as it is. Resume
// drops any other, unless a press before that continues it.
func (d *Drill) Pause(at sim.Micros) {
	d.note(at, func(d *Drill) { d.Pause(at) })
	d.leave(at)
	if d.simulator != nil {
		d.trial.leave(d.now)
		d.settleTrial()
	}
	d.stopTime()
}

// Interrupt stops the time for a reason that is not the pilot's, and drops the
// current trial.
func (d *Drill) Interrupt(at sim.Micros) {
	d.note(at, func(d *Drill) { d.Interrupt(at) })
	d.leave(at)
	d.trial = nil
	d.stopTime()
}

func (d *Drill) stopTime() {
	d.simulator = nil
	if d.phase != phaseOver {
		d.phase = PhasePaused
	}
}

// Resume continues after a pause, with the switch at value.
func (d *Drill) Resume(at sim.Micros, value sim.PulseWidth) {
	d.note(at, func(d *Drill) { d.Resume(at, value) })
	if d.phase != PhasePaused {
		return
	}
	d.started = at - d.now
	d.value = value
	d.begin()
}

// Stop ends the drill, and drops the current trial.
func (d *Drill) Stop(at sim.Micros) {
	d.leave(at)
	d.over()
}

// leave advances to a moment, after which the run ends. A flick whose release
// the camera has not seen yet is judged first.
func (d *Drill) leave(at sim.Micros) {
	d.run(d.toDrill(at))
	if _, holding := d.holding(); holding {
		return
	}
	for end := d.now + sim.Second; d.now < end; d.watch() {
		if d.simulator == nil || d.simulator.idle() { // the flick may have ended the drill
			return
		}
		d.now += grain
	}
}

// Over reports whether the drill has ended.
func (d *Drill) Over() bool { return d.phase == phaseOver }

// Flicks returns the flicks judged so far, in order of time.
func (d *Drill) Flicks() []Flick { return d.flicks }

// Results returns the trials that are over, in order of time.
func (d *Drill) Results() []Result { return d.results }

// Runs returns the stretches in which the rig ran without a break.
func (d *Drill) Runs() []Run { return d.runs }

// Rig returns the rig as practised on.
func (d *Drill) Rig() sim.Rig { return d.rig }

// Aim returns the hold to aim for.
func (d *Drill) Aim() sim.Micros { return d.aim }

// Setup returns the setup of the drill.
func (d *Drill) Setup() Setup { return d.setup }

// Past returns what is known of the pilot, including the trials of this drill.
func (d *Drill) Past() Past { return d.past.clone() }

// Deadline returns when Tick must be called at the latest, on the caller's clock;
// [sim.Never] while the drill waits for the pilot. A screen that shows a running
// hold or take calls Tick more often.
func (d *Drill) Deadline() sim.Micros {
	if d.simulator == nil {
		return sim.Never
	}
	return d.started + d.nextStep() + Lateness
}

// run makes all steps up to and including a moment.
func (d *Drill) run(to sim.Micros) {
	for d.simulator != nil {
		at := d.nextStep()
		if at > to {
			break
		}
		d.now = at
		d.step()
	}
	if d.simulator != nil {
		d.simulator.advance(to)
	}
	if d.phase == PhaseAct {
		d.now = max(d.now, to)
	}
}

// nextStep returns the next moment at which something is due.
func (d *Drill) nextStep() sim.Micros {
	next := min(d.trial.due(), longest)
	if !d.simulator.idle() {
		next = min(next, (d.now/grain+1)*grain)
	}
	if d.verdictUntil > d.now {
		next = min(next, d.verdictUntil)
	}
	return max(next, d.now)
}

func (d *Drill) step() {
	if d.now >= longest {
		d.over()
		return
	}
	d.watch()
	if d.simulator != nil && d.trial.due() <= d.now {
		d.trial.expire(d.now)
		d.settleTrial()
	}
	d.makeReady()
}

func (d *Drill) over() { d.phase, d.simulator = phaseOver, nil }

// watch handles the flicks that have finished.
func (d *Drill) watch() {
	d.simulator.advance(d.now)
	for d.simulator != nil {
		f, ok := d.simulator.next(d.now)
		if !ok {
			return
		}
		d.takeFlick(f)
	}
}

func (d *Drill) takeFlick(f Flick) {
	f.N = len(d.flicks) + 1
	f.Cold = d.setup.Cold && f.N == 1
	f.judge(d.rig.Camera, d.setup.Resolution)
	d.flicks = append(d.flicks, f)
	if f.Down != d.spent && d.trial.flick(f) {
		d.coldFlick = d.coldFlick || f.Cold
	} else if d.simulator.idle() {
		d.touched = false
	}
	d.settleTrial()
}

// settleTrial records the result of the current trial, if there is one, and moves
// on to the next.
func (d *Drill) settleTrial() {
	r, done := d.trial.result()
	if !done {
		return
	}
	r.N, r.Cold = len(d.results)+1, d.coldFlick
	d.coldFlick = false
	d.results = append(d.results, r)
	d.past.Add(r)
	d.verdictUntil = d.now + verdictFor
	if since, holding := d.holding(); holding && since <= r.Ended {
		d.spent = since
	}
	d.nextTrial()
}

// nextTrial makes the next trial current, or ends the drill.
func (d *Drill) nextTrial() {
	if d.now >= Length {
		d.over()
		return
	}
	kind, mistake := d.plan.next(d)
	s := setting{
		kind: kind, level: d.past.Level(kind), mistake: mistake,
		rig: d.rig, aim: d.aim, patterns: d.patterns, resolution: d.setup.Resolution, chance: d.chance,
		state: func() sim.State { return d.simulator.state() },
		pressed: func() bool {
			_, pressed := d.holding()
			return pressed
		},
		now: max(d.now, d.verdictUntil),
	}
	d.trial = newTrials[kind](s)
	_, d.touched = d.holding()
	d.makeReady()
}

func (d *Drill) holding() (sim.Micros, bool) {
	if d.simulator == nil {
		return 0, false
	}
	return d.simulator.holding()
}

// makeReady restarts the rig if the current trial needs another state of the
// camera, unless the hand is on the switch.
func (d *Drill) makeReady() {
	if d.phase != PhaseAct || d.touched {
		return
	}
	if d.simulator != nil && (!d.simulator.idle() || fits(d.trial.needs(), d.simulator.state())) {
		return
	}
	start := d.trial.needs()
	if start == "" {
		start = sim.StartStandby
	}
	d.runs = append(d.runs, Run{N: len(d.runs) + 1, From: d.now, Rest: d.value, Start: start})
	d.simulator = newSimulator(d.rig, d.setup.Seed, d.runs[len(d.runs)-1])
	d.runs[len(d.runs)-1] = d.simulator.run
}

// fits reports whether a camera is in the state that a trial needs, or will be
// without a press.
func fits(needs sim.StartState, state sim.State) bool {
	switch state {
	case sim.StateStandby, sim.StateStopping:
		return needs != sim.StartRecording
	case sim.StateRecording, sim.StateStarting:
		return needs != sim.StartStandby
	default:
		return false
	}
}
