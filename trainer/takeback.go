package trainer

import (
	"slices"

	"flicktally/sim"
)

// call is a call of a method of a drill.
type call struct {
	at  sim.Micros
	act func(*Drill)
}

func (d *Drill) note(at sim.Micros, act func(*Drill)) { d.calls = append(d.calls, call{at, act}) }

// TakeBack undoes all calls from a moment on and their consequences, for example
// after a key turns out to be held down. Flicks and Results can become shorter,
// but keep what was over before that moment.
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
