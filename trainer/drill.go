package trainer

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"flicktally/sim"
	"flicktally/sim/problem"
)

// Setup says what to practise, on which rig.
type Setup struct {
	Kind Kind
	Rig  sim.Rig
	// WithoutLink leaves out link, line refresh and delay, so that the camera
	// sees the hand's own hold.
	WithoutLink bool
	// Aim is the hold to aim for; 0 = that of the rig ([sim.Rig.Aim]).
	Aim  sim.Micros
	Seed uint64 // equal seeds give equal drills
	// Resolution is the resolution of the input. Differences below it are not
	// judged.
	Resolution sim.Micros
	Past       Past      // what is known of the pilot; the zero Past is a beginner's
	Cold       bool      // this is the first practice of the day
	Pattern    *Pattern  // for KindPattern; nil = the built-in ones
	Review     []Mistake // for KindReview, see [Mistakes]
}

// Lateness is how much later than a Tick the moves before it may come in.
const Lateness = 30 * sim.Millisecond

// noticed is how far the switch must move to count as moved: an axis at rest
// wavers by a few µs. Common practice, no source.
const noticed = 50

// verdictFor is how long a verdict shows before the next cue is prepared.
const verdictFor = 1500 * sim.Millisecond

// grain is the interval at which a drill checks whether a flick is over, so
// that the answer does not depend on when Tick is called.
const grain = 5 * sim.Millisecond

// Drill is a drill under way. Make one with [New].
//
// Internally, time counts from Start and lags behind the ticks by [Lateness]; a
// move advances it to its own time. It steps through the moments at which
// something is due (step), however it is called.
type Drill struct {
	setup  Setup
	rig    sim.Rig // as practised
	aim    sim.Micros
	chance *rand.Rand
	plan   plan

	started sim.Micros // on the caller's clock
	now     sim.Micros
	value   sim.PulseWidth // of the switch
	lay     sim.PulseWidth // position of the switch when it last moved noticeably
	phase   Phase          // PhaseRest, PhasePaused, phaseOver, or PhaseAct for a drill that runs

	simulator *simulator // nil while resting, paused and over
	runs      []Run
	trial     trial
	// touched: a press has begun the current trial, so the rig must not be
	// reset now.
	touched bool
	verdict sim.Micros // until when the last verdict shows

	past      Past // with the trials of this drill
	flicks    []Flick
	results   []Result
	coldFlick bool       // the current trial holds the day's first flick
	spent     sim.Micros // the press that ended a trial before its release; Never = none
	calls     []call     // since Start, for [Drill.TakeBack]
}

// New returns a drill that waits for Start. It refuses a rig that cannot work,
// or with which no flick could toggle.
func New(s Setup) (*Drill, error) {
	if _, err := ParseKind(string(s.Kind)); err != nil {
		return nil, err
	}
	if err := s.Rig.Validate(); err != nil {
		return nil, fmt.Errorf("rig cannot be practised on: %w", err)
	}
	if s.Rig.Inverted() {
		return nil, problem.Hinted(errors.New("rig cannot be practised on: it presses the button while the switch rests"),
			"line.active and camera.pressed_level differ")
	}
	if _, _, err := s.Rig.RestAndPress(); err != nil {
		return nil, fmt.Errorf("rig cannot be practised on: %w", err)
	}
	d := &Drill{setup: s, rig: practised(s), aim: s.Aim, past: s.Past.clone(), spent: sim.Never}
	if d.aim == 0 {
		d.aim = aimOf(d.rig)
	}
	d.chance = source(s.Seed, 0)
	var err error
	d.plan, err = newPlan(s, d.rig, d.aim)
	return d, err
}

// practised returns the rig as it runs in practice: powered for a while, so
// without its boot level.
func practised(s Setup) sim.Rig {
	rig := s.Rig
	rig.Line.Boot = sim.BootReleased
	if s.WithoutLink {
		rig.Link = sim.LinkSpec{}
		rig.Line.Update, rig.Line.Delay = 0, 0
	}
	return rig
}

// Start begins the drill with the switch at value. If the switch presses, it
// must first be put to rest.
func (d *Drill) Start(at sim.Micros, value sim.PulseWidth) {
	d.note(at, func(d *Drill) { d.Start(at, value) })
	d.started, d.value = at, value
	d.begin()
}

// begin runs the rig, or waits for the switch to rest while time is stopped.
func (d *Drill) begin() {
	d.phase, d.lay = PhaseRest, d.value
	if hand := newHand(d.rig, d.value); hand.Pressed() && !everyMoveCounts(d.rig) {
		return
	}
	d.phase = PhaseAct
	d.nextTrial()
}

// toDrill turns a time of the caller's clock into one of the drill that is not
// in the past.
func (d *Drill) toDrill(at sim.Micros) sim.Micros { return max(at-d.started, d.now) }

// Move takes a move of the switch.
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
	moved := d.rig.Switch.IsValid(value) && math.Abs(float64(value-d.lay)) > noticed
	if moved {
		d.lay = value
	}
	if pressed, changed := d.simulator.move(m); changed {
		d.hand(m.At, pressed)
	} else if moved {
		d.trial.moved(m.At)
		d.settleTrial()
	}
}

// pressInPause continues the trial that was open when the pilot paused, if a
// move is a press: it counts as the answer to that trial's cue, or as early.
func (d *Drill) pressInPause(at sim.Micros, value sim.PulseWidth) {
	was, is := newHand(d.rig, d.value), newHand(d.rig, value)
	if d.trial == nil || was.Pressed() == is.Pressed() || was.Pressed() && !everyMoveCounts(d.rig) {
		return
	}
	d.started, d.lay = at-d.now, d.value
	d.phase, d.touched = PhaseAct, false
	d.makeReady()
}

func (d *Drill) hand(at sim.Micros, pressed bool) {
	d.touched = d.touched || pressed
	d.trial.hand(at, pressed)
	d.settleTrial()
}

// Tick advances the time.
func (d *Drill) Tick(at sim.Micros) { d.run(d.toDrill(at - Lateness)) }

// Answer takes the pilot's answer to the question.
func (d *Drill) Answer(at sim.Micros, yes bool) {
	d.note(at, func(d *Drill) { d.Answer(at, yes) })
	d.run(d.toDrill(at))
	if d.simulator != nil {
		d.trial.answer(d.now, yes)
		d.settleTrial()
	}
}

// Pause stops the time. A trial that the hand has begun counts as it is. Any
// other is dropped by Resume, unless a press before that continues it.
func (d *Drill) Pause(at sim.Micros) {
	d.note(at, func(d *Drill) { d.Pause(at) })
	d.leave(at)
	if d.simulator != nil {
		d.trial.leave(d.now)
		d.settleTrial()
	}
	d.stand()
}

// Interrupt stops the time for a reason that is not the pilot's: the current
// trial is dropped.
func (d *Drill) Interrupt(at sim.Micros) {
	d.note(at, func(d *Drill) { d.Interrupt(at) })
	d.leave(at)
	d.trial = nil
	d.stand()
}

func (d *Drill) stand() {
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

// Stop ends the drill; the current trial is dropped.
func (d *Drill) Stop(at sim.Micros) {
	d.leave(at)
	d.over()
}

// leave ends the run. A flick whose release the camera has not seen yet is
// judged first.
func (d *Drill) leave(at sim.Micros) {
	d.run(d.toDrill(at))
	if d.simulator == nil {
		return
	}
	for end := d.now + sim.Second; !d.simulator.idle() && d.now < end; {
		if _, holding := d.simulator.holding(); holding {
			break
		}
		d.now += grain
		d.watch()
	}
}

// Over reports whether the drill has ended.
func (d *Drill) Over() bool { return d.phase == phaseOver }

// Flicks returns the flicks that have been judged so far, in order of time. It
// only grows.
func (d *Drill) Flicks() []Flick { return d.flicks }

// Results returns the trials that are over, in order of time. It only grows.
func (d *Drill) Results() []Result { return d.results }

// Runs returns the stretches through which the rig ran without a break.
func (d *Drill) Runs() []Run { return d.runs }

// Rig returns the rig as practised on.
func (d *Drill) Rig() sim.Rig { return d.rig }

// Setup returns the setup of the drill.
func (d *Drill) Setup() Setup { return d.setup }

// Past returns what is known of the pilot with the trials of this drill.
func (d *Drill) Past() Past { return d.past.clone() }

// Deadline returns the moment by which Tick must be called for the drill to
// continue, on the caller's clock; [sim.Never] while it waits for the pilot. A
// screen that shows a hold or a take as it runs calls it more often.
func (d *Drill) Deadline() sim.Micros {
	if d.simulator == nil {
		return sim.Never
	}
	return d.started + d.nextStep() + Lateness
}

// run takes all steps up to and including a moment.
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

// nextStep returns the next moment at which the drill acts by itself.
func (d *Drill) nextStep() sim.Micros {
	next := min(d.trial.due(), longest)
	if !d.simulator.idle() {
		next = min(next, (d.now/grain+1)*grain)
	}
	if d.verdict > d.now {
		next = min(next, d.verdict)
	}
	return max(next, d.now)
}

// step acts at the moment now.
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

// watch takes the finished flicks.
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

// settleTrial takes the result of the current trial, if there is one, and moves
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
	d.verdict = d.now + verdictFor
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
	s := setting{
		rig: d.rig, aim: d.aim, resolution: d.setup.Resolution, chance: d.chance,
		state: func() sim.State { return d.simulator.state() },
		pressed: func() bool {
			_, pressed := d.holding()
			return pressed
		},
		now: max(d.now, d.verdict),
	}
	d.trial = d.plan.next(d, s)
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

// fits reports whether a camera is, or will by itself be, in the state that a
// trial needs.
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
