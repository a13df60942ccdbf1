package lanes

import (
	"cmp"
	"fmt"
	"slices"

	"flicktally/sim"
)

// OutcomeLook returns the look of what a flick came to.
func OutcomeLook(o sim.FlickOutcome) Look {
	return map[sim.FlickOutcome]Look{
		sim.FlickToggled: Toggled, sim.FlickShort: Short, sim.FlickLong: Long, sim.FlickDouble: Double,
		sim.FlickBusy: Busy, sim.FlickOff: Off, sim.FlickWake: Wake, sim.FlickUnseen: Unseen,
		sim.FlickIgnored: Ignored, sim.FlickWaiting: Waiting, sim.FlickUnknown: Unknown, sim.FlickOpen: Open,
	}[o]
}

// PressLook returns the look of what a press came to: that of its flick where it
// has one of its own.
func PressLook(r *sim.Replay, p sim.Press) Look {
	if p.Flick > 0 && r.Flicks[p.Flick-1].Press == p.N {
		return OutcomeLook(r.Flicks[p.Flick-1].Outcome)
	}
	return VerdictLook(p.Verdict)
}

// VerdictLook returns the look of a press of which no more is known than its
// verdict.
func VerdictLook(v sim.Verdict) Look {
	if v == sim.VerdictToggle {
		return Toggled
	}
	return OutcomeLook(sim.FlickOutcome(v))
}

// attempt is a flick, or a press that no hand made, such as one of a lost signal.
type attempt struct {
	span  sim.Span
	flick *sim.Flick // nil: no hand
	press *sim.Press // nil: the camera saw none
}

// attempts returns all flicks, and the presses that belong to none, in order of
// time.
func attempts(r *sim.Replay) []attempt {
	var all []attempt
	for i := range r.Flicks {
		f := &r.Flicks[i]
		up := f.Up
		if up == sim.Never {
			up = r.End
			if r.Rig.OneShot.Trigger == sim.TriggerBoth {
				up = f.Down
			}
		}
		a := attempt{span: sim.Span{From: f.Down, To: up}, flick: f}
		if f.Press > 0 {
			a.press = &r.Presses[f.Press-1]
		}
		all = append(all, a)
	}
	for i := range r.Presses {
		if p := &r.Presses[i]; p.Flick == 0 {
			all = append(all, attempt{span: p.Span(r.End), press: p})
		}
	}
	slices.SortStableFunc(all, func(a, b attempt) int { return cmp.Compare(a.span.From, b.span.From) })
	return all
}

func flickLane(r *sim.Replay) Lane {
	l := Lane{Name: "flicks", Kind: Flicks}
	all := attempts(r)
	for _, a := range all {
		l.Spans = append(l.Spans, a.span)
	}
	l.label = func(i int) Label { return all[i].label(r) }
	return l
}

func (a attempt) label(r *sim.Replay) Label {
	var l Label
	kind, held := "flick", ""
	switch {
	case a.flick == nil:
		kind, l.Short, l.Look = "press without a flick", "-", PressLook(r, *a.press)
	default:
		l.Short, l.Look = fmt.Sprint(a.flick.N), OutcomeLook(a.flick.Outcome)
		if hold := a.flick.Hold(); hold != sim.Never {
			held = hold.Rounded()
		}
	}
	if a.press != nil {
		held, l.Doubt = a.press.HeldText(), a.press.Doubtful
	}
	l.Long = l.Short + ": " + held
	if l.Look != Toggled {
		l.Long += " " + l.Look.Name()
	}
	l.Title = fmt.Sprintf("%s %s at %s, %s: %s", kind, l.Short, a.span.From.Clock(), held, l.Look.Name())
	if l.Doubt {
		l.Title += ", doubtful"
	}
	return l
}
