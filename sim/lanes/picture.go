package lanes

import (
	"fmt"
	"slices"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Picture is what a replay looks like: its lanes from the top.
type Picture struct {
	End   sim.Micros
	Lanes []Lane
	Marks []Mark // the findings, in the order of their letters
}

// Of returns the picture of a replay with its findings. channel says whether
// the channel's values are available. There is no lane for what the rig does
// not use or the log does not contain.
func Of(r *sim.Replay, findings []tell.Finding, channel bool) Picture {
	p := Picture{End: r.End, Marks: Marks(findings)}
	if len(p.Marks) > 0 {
		p.Lanes = append(p.Lanes, findingLane(p.Marks))
	}
	p.Lanes = append(p.Lanes, cameraLane(r), takeLane(r), flickLane(r))
	if r.Belief != nil {
		p.Lanes = append(p.Lanes, chanceLane(r))
	}
	if channel && r.Tap != sim.TapWire {
		p.Lanes = append(p.Lanes, channelLane(r))
	}
	p.Lanes = append(p.Lanes, signalLanes(r)...)
	if r.Armed != nil {
		p.Lanes = append(p.Lanes, armedLane(r))
	}
	return p
}

// Lane returns the first lane of a kind with a name, or any name if that is "";
// nil if there is none.
func (p *Picture) Lane(kind Kind, name string) *Lane {
	for i := range p.Lanes {
		if p.Lanes[i].Kind == kind && (name == "" || p.Lanes[i].Name == name) {
			return &p.Lanes[i]
		}
	}
	return nil
}

func cameraLane(r *sim.Replay) Lane {
	l := Lane{Name: "camera", Kind: Bands}
	for _, span := range r.StateSpans(r.End) {
		l.Spans = append(l.Spans, span)
	}
	l.label = func(i int) Label {
		look := stateLook(r.States[i].State)
		short := ""
		if look == Recording {
			short = "rec"
		}
		return Label{
			Look: look, Long: look.Name(), Short: short,
			Title: "camera " + look.Name() + " " + spanText(l.Spans[i]),
		}
	}
	return l
}

func takeLane(r *sim.Replay) Lane {
	l := Lane{Name: "takes", Kind: Bands, Spans: r.TakeSpans()}
	l.label = func(i int) Label {
		t := r.Takes[i]
		text := fmt.Sprintf("%d: %s", t.N, t.Length().Readable())
		return Label{
			Look: Recording, Long: text, Short: fmt.Sprint(t.N), Doubt: doubtful(r, t),
			Title: fmt.Sprintf("take %d, %s, ended by %s", t.N, spanText(l.Spans[i]), tell.Ended(t)),
		}
	}
	return l
}

func armedLane(r *sim.Replay) Lane {
	return Lane{Name: "armed", Kind: Bands, Spans: r.Armed.Windows, label: func(i int) Label {
		w := r.Armed.Windows[i]
		return Label{Look: Armed, Long: "armed " + w.Length().Readable(), Short: "armed", Title: "armed " + spanText(w)}
	}}
}

func chanceLane(r *sim.Replay) Lane {
	l := Lane{Name: "recording", Kind: Chance}
	for _, b := range r.Belief {
		l.Spans = append(l.Spans, sim.Span{From: b.From, To: b.To})
	}
	l.label = func(i int) Label {
		return Label{Look: Recording, Title: "chance of recording " + tell.ChanceOver(r.Belief[i]) + ", " + spanText(l.Spans[i])}
	}
	return l
}

func channelLane(r *sim.Replay) Lane {
	l := Lane{Name: r.Rig.Log.Channel, Kind: Channel, Spans: r.Lost}
	switch {
	case r.Tap == sim.TapOutput:
		l.Name = "output"
	case l.Name == "":
		l.Name = "channel"
	}
	l.label = func(i int) Label {
		return Label{Look: NoSignal, Long: NoSignal.Name(), Short: "lost", Title: "no signal " + spanText(r.Lost[i])}
	}
	return l
}

// spanText writes "1:02.0 to 1:03.5 (1.5 s)".
func spanText(s sim.Span) string {
	return fmt.Sprintf("%s to %s (%s)", s.From.Clock(), s.To.Clock(), s.Length().Readable())
}

// doubtful reports whether a press that started or ended a take is doubtful.
func doubtful(r *sim.Replay, t sim.Take) bool {
	startedBy := 0
	for _, toggle := range r.Toggles {
		if toggle.To == sim.StateRecording && toggle.At <= t.Start {
			startedBy = toggle.Press
		}
	}
	return slices.ContainsFunc([]int{startedBy, t.EndedBy}, func(n int) bool { return n > 0 && r.Presses[n-1].Doubtful })
}
