package export

import (
	"cmp"
	"io"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/vcd"
)

// The wires of a [Waveform]. The output and the camera's wire have their
// electrical levels, so that the latter reads back like a capture. The others are
// high while what they are named after is true.
const (
	wireSwitch   = "switch_pressed"
	wireSettled  = "settled_pressed"
	wirePulse    = "oneshot_pressed"
	wireOutput   = "output"
	wireCamera   = "camera_wire"
	wireLost     = "signal_lost"
	wireArmed    = "armed"
	wireBusy     = "camera_busy"
	wireRecorded = "recording"
)

// Waveform writes the signals of a replay in steps of 1 µs. It leaves out the
// stages before the tap, and the armed state if the log does not have it.
func Waveform(w io.Writer, f *flight.Flight) error {
	r := f.Replay
	signals := []vcd.Signal{
		{Name: wireSwitch, Lane: r.Lanes.Position},
		{Name: wireSettled, Lane: r.Lanes.Settled},
		{Name: wirePulse, Lane: r.Lanes.Pulse},
		{Name: wireOutput, Lane: r.Lanes.Line, ActiveLow: r.Rig.Line.Active == sim.ActiveLow},
		{Name: wireCamera, Lane: r.Lanes.Wire, ActiveLow: r.Rig.Camera.PressedLevel == sim.ActiveLow},
	}
	switch r.Tap {
	case sim.TapOutput:
		signals = signals[3:]
	case sim.TapWire:
		signals = signals[4:]
	}
	signals = append(signals, vcd.Signal{Name: wireLost, Lane: laneOf(r.Lost, r.End)})
	if r.Armed != nil {
		signals = append(signals, vcd.Signal{Name: wireArmed, Lane: laneOf(r.Armed.Windows, r.End)})
	}
	signals = append(signals,
		vcd.Signal{Name: wireBusy, Lane: laneOf(busy(r), r.End)},
		vcd.Signal{Name: wireRecorded, Lane: laneOf(r.TakeSpans(), r.End)})
	return vcd.Write(w, cmp.Or(r.Rig.Name, "flight"), signals, r.End)
}

// laneOf turns spans, in order and not overlapping, into a signal. A span that
// reaches the end of the log does not end there: nobody knows what follows.
func laneOf(spans []sim.Span, end sim.Micros) sim.Lane {
	var l sim.Lane
	for _, s := range spans {
		switch n := len(l.Edges); {
		case s.Length() == 0:
			continue
		case s.From == 0:
			l.Initial = true
		case n > 0 && l.Edges[n-1].At == s.From:
			l.Edges = l.Edges[:n-1]
		default:
			l.Edges = append(l.Edges, sim.Edge{At: s.From, Pressed: true})
		}
		if s.To < end {
			l.Edges = append(l.Edges, sim.Edge{At: s.To})
		}
	}
	return l
}

// busy returns the spans in which the camera is booting, starting or stopping.
func busy(r *sim.Replay) []sim.Span {
	var spans []sim.Span
	for state, span := range r.StateSpans(r.End) {
		switch state {
		case sim.StateBooting, sim.StateStarting, sim.StateStopping:
			spans = append(spans, span)
		}
	}
	return spans
}
