package report

import (
	"fmt"

	"flicktally/sim"
)

// lanePlan is a lane before it has a place on the chart.
type lanePlan struct {
	name, unit string
	height     int
	gap        int // below it
	text       textPlace
	bands      []rect
	marks      []mark
	scale      []scaleText
	curve      func(*drawing) *curve
}

// textPlace says where the text of a lane's marks stands.
type textPlace int

const (
	textNone textPlace = iota
	textAbove
	textInside
)

// Classes of marks. A state and a verdict are classes under their own names.
const (
	classFinding  = "finding"
	classLostShot = "finding shot"
	classPressed  = "pressed"
	classWindow   = "window"
	classTake     = "take"
	classArmed    = "armed"
	classLost     = "lost"
	classDense    = "dense"
	classChance   = "chance"
)

// lanesOf plans the lanes of a part, in the order of the signal. What the rig
// does not use, or the log does not tell, has no lane.
func lanesOf(p Part) []lanePlan {
	r := p.Replay
	var plans []lanePlan
	if len(p.Findings) > 0 {
		plans = append(plans, findingsLane(p.Findings))
	}
	plans = append(plans, signalLanes(p)...)
	presses, windows := pressLanes(r)
	plans = append(plans, presses, windows, cameraLane(r), takesLane(r))
	if r.Armed != nil {
		plans = append(plans, armedLane(r))
	}
	if r.Belief != nil {
		plans = append(plans, chanceLane(r))
	}
	return plans
}

// signalLanes plans the lanes from the channel to the camera's wire.
func signalLanes(p Part) []lanePlan {
	r, rig := p.Replay, p.Replay.Rig
	var plans []lanePlan
	if r.Tap != sim.TapWire {
		plans = append(plans, channelLane(p))
	}
	if r.Tap == sim.TapChannel {
		plans = append(plans, levelLane("switch", r.Lanes.Position, r.End))
		if rig.OneShot.Trigger != sim.TriggerOff || rig.Switch.Settle > 0 {
			plans = append(plans, levelLane("pulse", r.Lanes.Pulse, r.End))
		}
	}
	if r.Tap != sim.TapChannel || rig.Line.Update > 0 || rig.Line.Delay > 0 || rig.Inverted() {
		plans = append(plans, levelLane("camera wire", r.Lanes.Wire, r.End))
	}
	return plans
}

// shape returns where in its lane a mark stands, so that states can be told
// apart without colour, and how much of its time a dense mark stands for.
func shape(m mark, lane int) (top, height int) {
	switch m.Class {
	case classDense:
		height = max(2, int(m.Cover*float64(lane)+0.5))
		return lane - height, height
	case string(sim.StateOff):
		return lane - 2, 2
	case string(sim.StateStandby):
		return lane - 4, 4
	case string(sim.StateBooting), string(sim.StateStarting), string(sim.StateStopping):
		return lane / 2, lane / 2
	default:
		return 0, lane
	}
}

func findingsLane(findings []sim.Finding) lanePlan {
	plan := lanePlan{name: "findings", height: 4, gap: 4, text: textAbove}
	for i, f := range findings {
		key, class := findingKey(i), classFinding
		if f.Lost {
			class = classLostShot
		}
		plan.marks = append(plan.marks, mark{
			Span:  sim.Span{From: f.At, To: f.At},
			Class: class, Title: "finding " + key + ": " + f.Text,
			Text: key, Brief: key, First: f.Lost,
		})
	}
	return plan
}

// findingKey names the finding at an index: a to z, then aa, ab and so on.
func findingKey(i int) string {
	key := ""
	for i++; i > 0; i = (i - 1) / 26 {
		key = string(rune('a'+(i-1)%26)) + key
	}
	return key
}

// levelLane shows when a two-valued signal is pressed.
func levelLane(name string, l sim.Lane, end sim.Micros) lanePlan {
	plan := lanePlan{name: name, height: 18, gap: laneGap}
	for span := range l.Presses(end) {
		plan.marks = append(plan.marks, mark{Span: span, Class: classPressed, Title: name + " pressed " + spanText(span)})
	}
	return plan
}

// pressLanes shows the presses and, right below, when a release of each
// toggles: its end is the long-press deadline.
func pressLanes(r *sim.Replay) (presses, windows lanePlan) {
	presses = lanePlan{name: "presses", height: 20, gap: 3, text: textAbove}
	windows = lanePlan{name: "press window", height: 8, gap: laneGap}
	for _, p := range r.Presses {
		span := sim.Span{From: p.Down, To: min(p.Up, r.End)}
		m := mark{
			Span: span, Class: "press " + string(p.Verdict), Title: pressTitle(p),
			Text: fmt.Sprintf("%d: %s", p.N, p.HeldText()), Brief: fmt.Sprint(p.N),
		}
		if p.Verdict != sim.VerdictToggle {
			m.Text += " " + string(p.Verdict)
			m.First = true
		}
		presses.marks = append(presses.marks, m)
		if p.StateAt != sim.StateStandby && p.StateAt != sim.StateRecording {
			continue
		}
		toggles := sim.Span{From: p.Down + r.Window.MinPress, To: p.Down + r.Window.LongPress}
		if toggles.From < r.End {
			windows.marks = append(windows.marks, mark{
				Span: sim.Span{From: toggles.From, To: min(toggles.To, r.End)}, Class: classWindow,
				Title: fmt.Sprintf("press %d toggles if released from %s on; long from %s on", p.N, toggles.From.Clock(), toggles.To.Clock()),
			})
		}
	}
	return presses, windows
}

func pressTitle(p sim.Press) string {
	title := fmt.Sprintf("press %d at %s, %s: %s", p.N, p.Down.Clock(), p.HeldText(), p.Verdict)
	if p.Doubtful {
		title += ", doubtful"
	}
	return title
}

func cameraLane(r *sim.Replay) lanePlan {
	plan := lanePlan{name: "camera", height: 26, gap: laneGap, text: textInside}
	for i, change := range r.States {
		span := sim.Span{From: change.At, To: r.End}
		if i+1 < len(r.States) {
			span.To = r.States[i+1].At
		}
		state := string(change.State)
		plan.marks = append(plan.marks, mark{
			Span: span, Class: state, Title: "camera " + state + " " + spanText(span),
			Text: state, Brief: map[sim.State]string{sim.StateRecording: "rec"}[change.State],
		})
	}
	return plan
}

func takesLane(r *sim.Replay) lanePlan {
	plan := lanePlan{name: "takes", height: 18, gap: laneGap, text: textInside}
	for _, t := range r.Takes {
		span := sim.Span{From: t.Start, To: t.End}
		plan.marks = append(plan.marks, mark{
			Span: span, Class: classTake, Title: fmt.Sprintf("take %d, %s", t.N, spanText(span)),
			Text: fmt.Sprintf("take %d: %s", t.N, t.Length().Readable()), Brief: fmt.Sprint(t.N),
		})
	}
	return plan
}

func armedLane(r *sim.Replay) lanePlan {
	plan := lanePlan{name: "armed", height: 12, gap: laneGap}
	for _, w := range r.Armed.Windows {
		plan.marks = append(plan.marks, mark{Span: w, Class: classArmed, Title: "armed " + spanText(w)})
	}
	return plan
}
