package lanes

import (
	"fmt"

	"flicktally/sim"
)

// signal is the output of a stage of the chain.
type signal struct {
	name string
	lane *sim.Lane
}

// signals returns the signals of the stages that the rig uses, in order, from the
// tap on.
func signals(r *sim.Replay) []signal {
	rig := r.Rig
	var all []signal
	add := func(used bool, name string, lane *sim.Lane) {
		if used {
			all = append(all, signal{name, lane})
		}
	}
	channel := r.Tap == sim.TapChannel
	add(channel, "position", &r.Lanes.Position)
	add(channel && rig.Switch.Settle > 0, "settled", &r.Lanes.Settled)
	add(channel && rig.OneShot.Trigger != sim.TriggerOff, "one-shot", &r.Lanes.Pulse)
	add(r.Tap != sim.TapWire, "line", &r.Lanes.Line)
	add(r.Tap == sim.TapWire || rig.Line.Delay > 0 || rig.Inverted(), "wire", &r.Lanes.Wire)
	return all
}

// signalLanes returns a lane for each stage that changes something. A stage whose
// signal equals the one before, perhaps delayed, is named on that stage's lane.
func signalLanes(r *sim.Replay) []Lane {
	var lanes []Lane
	var before *sim.Lane
	for _, s := range signals(r) {
		later, same := sim.Micros(0), false
		if before != nil {
			later, same = shifted(before, s.lane)
		}
		before = s.lane
		if !same {
			lanes = append(lanes, levelLane(s, r.End))
			continue
		}
		name := s.name
		if later > 0 {
			name += ", " + later.Rounded() + " later"
		}
		last := &lanes[len(lanes)-1]
		last.Same = append(last.Same, name)
	}
	return lanes
}

// shifted reports whether b equals a with a constant delay.
func shifted(a, b *sim.Lane) (later sim.Micros, same bool) {
	if a.Initial != b.Initial || len(a.Edges) != len(b.Edges) {
		return 0, false
	}
	if len(a.Edges) > 0 {
		later = b.Edges[0].At - a.Edges[0].At
	}
	for i := range a.Edges {
		if b.Edges[i].At-a.Edges[i].At != later || a.Edges[i].Pressed != b.Edges[i].Pressed {
			return 0, false
		}
	}
	return later, true
}

func levelLane(s signal, end sim.Micros) Lane {
	l := Lane{Name: s.name, Kind: Levels}
	for span := range s.lane.Presses(end) {
		l.Spans = append(l.Spans, span)
	}
	l.label = func(i int) Label {
		return Label{Look: Pressed, Title: fmt.Sprintf("%s pressed %s", s.name, spanText(l.Spans[i]))}
	}
	return l
}
