package lanes

import (
	"cmp"
	"fmt"
	"slices"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// outcomeLooks are the looks of the outcomes of flicks.
var outcomeLooks = map[sim.FlickOutcome]Look{
	sim.FlickToggled: Toggled, sim.FlickShort: Short, sim.FlickLong: Long, sim.FlickDouble: double,
	sim.FlickBusy: Busy, sim.FlickOff: off, sim.FlickWake: wake, sim.FlickUnseen: Unseen,
	sim.FlickIgnored: ignored, sim.FlickWaiting: waiting, sim.FlickUnknown: Unknown, sim.FlickOpen: open,
}

// PressLook returns the look of a press: that of its flick, if it has one of its
// own.
func PressLook(r *sim.Replay, p sim.Press) Look {
	if p.Flick > 0 && r.Flicks[p.Flick-1].Press == p.N {
		return outcomeLooks[r.Flicks[p.Flick-1].Outcome]
	}
	return VerdictLook(p.Verdict)
}

// VerdictLook returns the look of a press of which only the verdict is known.
func VerdictLook(v sim.Verdict) Look {
	if v == sim.VerdictToggle {
		return Toggled
	}
	return outcomeLooks[sim.FlickOutcome(v)]
}

// Attempt is a flick with its press, or a press without a flick, such as one
// made by a lost signal.
type Attempt struct {
	sim.Span
	Flick *sim.Flick // nil: no hand
	Press *sim.Press // nil: the camera saw none
}

// Attempts returns all flicks and the presses without one, in order of time.
func Attempts(r *sim.Replay) []Attempt {
	var all []Attempt
	for i := range r.Flicks {
		f := &r.Flicks[i]
		up := f.Up
		if up == sim.Never {
			up = r.End
			if r.Rig.OneShot.Trigger == sim.TriggerBoth {
				up = f.Down
			}
		}
		a := Attempt{Span: sim.Span{From: f.Down, To: up}, Flick: f}
		if f.Press > 0 {
			a.Press = &r.Presses[f.Press-1]
		}
		all = append(all, a)
	}
	for i := range r.Presses {
		if p := &r.Presses[i]; p.Flick == 0 {
			all = append(all, Attempt{Span: p.Span(r.End), Press: p})
		}
	}
	slices.SortStableFunc(all, func(a, b Attempt) int { return cmp.Compare(a.From, b.From) })
	return all
}

func flickLane(r *sim.Replay) Lane {
	l := Lane{Name: "flicks", Kind: Flicks}
	all := Attempts(r)
	for _, a := range all {
		l.Spans = append(l.Spans, a.Span)
	}
	l.label = func(i int) Label { return all[i].label(r) }
	return l
}

// Missed returns the flicks of a lane that did not toggle: their starts and
// labels.
func Missed(flicks *Lane) (at []sim.Micros, labels []Label) {
	for i, span := range flicks.Spans {
		if label := flicks.Label(i); label.Look != Toggled {
			at, labels = append(at, span.From), append(labels, label)
		}
	}
	return at, labels
}

// Number names the flick, or "-" if there is none.
func (a Attempt) Number() string {
	if a.Flick == nil {
		return "-"
	}
	return fmt.Sprint(a.Flick.N)
}

// Look returns the look of its outcome.
func (a Attempt) Look(r *sim.Replay) Look {
	if a.Flick == nil {
		return PressLook(r, *a.Press)
	}
	return outcomeLooks[a.Flick.Outcome]
}

// Held writes how long the camera saw the button held or, if it saw no press, how
// long the hand held the switch; "-" for a single move.
func (a Attempt) Held() string {
	switch {
	case a.Press != nil:
		return tell.Held(*a.Press)
	case a.Flick.Hold() != sim.Never:
		return a.Flick.Hold().Rounded()
	default:
		return "-"
	}
}

// ByHand says which holds of the hand the samples allow.
func (a Attempt) ByHand(r *sim.Replay) string {
	if a.Flick == nil {
		return "-"
	}
	return tell.HandOf(r, *a.Flick)
}

// Margin says how far its press was from the nearest threshold.
func (a Attempt) Margin(r *sim.Replay) string {
	if a.Press == nil {
		return "-"
	}
	return tell.Margin(r, *a.Press)
}

// After returns the camera's state after it.
func (a Attempt) After(r *sim.Replay) sim.State {
	if a.Press == nil {
		return r.StateAt(a.To)
	}
	return a.Press.StateAfter
}

// Doubtful reports whether its outcome may be another.
func (a Attempt) Doubtful() bool { return a.Press != nil && a.Press.Doubtful }

func (a Attempt) label(r *sim.Replay) Label {
	l := Label{Look: a.Look(r), Short: a.Number(), Doubt: a.Doubtful()}
	l.Long = l.Short + ": " + a.Held()
	if l.Look != Toggled {
		l.Long += " " + l.Look.Name()
	}
	kind := "flick " + l.Short
	if a.Flick == nil {
		kind = "press without a flick"
	}
	l.Title = fmt.Sprintf("%s at %s, %s: %s", kind, a.From.Clock(), a.Held(), l.Look.Name())
	if l.Doubt {
		l.Title += ", doubtful"
	}
	return l
}
