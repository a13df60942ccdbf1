package trainer

import (
	"errors"
	"fmt"

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

// New returns a drill that waits for Start. It refuses a rig that cannot work,
// or with which no flick could toggle.
func New(s Setup) (*Drill, error) {
	if _, err := ParseKind(string(s.Kind)); err != nil {
		return nil, err
	}
	if err := s.Rig.Validate(); err != nil {
		return nil, fmt.Errorf("cannot practise with this rig: %w", err)
	}
	if s.Rig.Inverted() {
		return nil, problem.Hinted(errors.New("cannot practise with this rig: it presses the button while the switch rests"),
			"line.active and camera.pressed_level differ")
	}
	if _, _, err := s.Rig.RestAndPress(); err != nil {
		return nil, fmt.Errorf("cannot practise with this rig: %w", err)
	}
	d := &Drill{setup: s, rig: practised(s), aim: s.Aim, past: s.Past.clone(), spent: sim.Never}
	if d.aim == 0 {
		d.aim = aimOf(d.rig)
	}
	d.chance = source(s.Seed, 0)
	d.patterns = builtInPatterns(d.rig, d.aim)
	if s.Pattern != nil {
		d.patterns = []Pattern{*s.Pattern}
	}
	var err error
	d.plan, err = newPlan(s)
	return d, err
}

// practised returns the rig as it runs in practice: on power already, so without
// its boot level.
func practised(s Setup) sim.Rig {
	rig := s.Rig
	rig.Line.Boot = sim.BootReleased
	if s.WithoutLink {
		rig.Link = sim.LinkSpec{}
		rig.Line.Update, rig.Line.Delay = 0, 0
	}
	return rig
}

// aimOf returns the hold to aim for in a drill. If both edges of the switch
// start a pulse, the hold does not matter, and the aim is a deliberate flick of
// 200 ms (common practice, no source).
func aimOf(rig sim.Rig) sim.Micros {
	if hold, ok := rig.Aim(); ok {
		return hold
	}
	return 200 * sim.Millisecond
}
