package trainer

import (
	"slices"

	"flicktally/sim"
)

// call is a call of a drill with its time.
type call struct {
	at  sim.Micros
	act func(*Drill)
}

func (d *Drill) note(at sim.Micros, act func(*Drill)) { d.calls = append(d.calls, call{at, act}) }

// TakeBack undoes all calls from a moment on, and everything that followed from
// them, for example for a key that turns out to be held down. What was over
// before that moment stays; Flicks and Results can become shorter.
func (d *Drill) TakeBack(from sim.Micros) {
	calls := slices.DeleteFunc(d.calls, func(c call) bool { return c.at >= from })
	fresh, err := New(d.setup)
	if err != nil {
		panic("internal error: a drill that was made cannot be made again: " + err.Error())
	}
	*d = *fresh
	for _, c := range calls {
		c.act(d)
	}
}

// Aim returns the hold to aim for.
func (d *Drill) Aim() sim.Micros { return d.aim }
