package report

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// lanePlan is a lane before it has a place on the chart.
type lanePlan struct {
	name, unit string
	height     int
	gap        int // below it
	text       textPlace
	bands      []rect
	spans      []sim.Span     // of the marks, in order of time
	mark       func(int) mark // tells of a span by its index
	scale      []scaleText
	curve      func(*drawing) *curve
}

// marks returns the marks of a lane in a log that ends at end, and whether some
// stand for several. Only those are told of that show: a log may have millions.
func (p lanePlan) marks(end sim.Micros) (marks []mark, thinned bool) {
	groups := thin(p.spans, end)
	for _, g := range groups {
		if g.past > g.first+1 {
			marks = append(marks, dense(p.spans[g.first:g.past]))
			continue
		}
		m := p.mark(g.first)
		m.Span = p.spans[g.first]
		marks = append(marks, m)
	}
	return marks, len(groups) < len(p.spans)
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
	plans = append(plans, pressLane(r), windowLane(r), cameraLane(r), takesLane(r))
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
	r := p.Replay
	var plans []lanePlan
	if r.Tap != sim.TapWire {
		plans = append(plans, channelLane(p))
	}
	for _, s := range r.Signals() {
		plans = append(plans, levelLane(s.Name, s.Lane, r.End))
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

func findingsLane(findings []tell.Finding) lanePlan {
	plan := lanePlan{name: "findings", height: 4, gap: 4, text: textAbove}
	for _, f := range findings {
		plan.spans = append(plan.spans, sim.Span{From: f.At, To: f.At})
	}
	plan.mark = func(i int) mark {
		f, key := findings[i], findingKey(i)
		m := mark{Class: classFinding, Title: "finding " + key + ": " + f.Text, Text: key, Brief: key, First: f.Costs}
		if f.Costs {
			m.Class = classLostShot
		}
		return m
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
		plan.spans = append(plan.spans, span)
	}
	plan.mark = func(i int) mark {
		return mark{Class: classPressed, Title: name + " pressed " + spanText(plan.spans[i])}
	}
	return plan
}

// pressLane shows the presses with their holds.
func pressLane(r *sim.Replay) lanePlan {
	plan := lanePlan{name: "presses", height: 20, gap: 3, text: textAbove}
	for _, p := range r.Presses {
		plan.spans = append(plan.spans, p.Span(r.End))
	}
	plan.mark = func(i int) mark {
		p := r.Presses[i]
		m := mark{
			Class: "press " + string(p.Verdict), Title: pressTitle(p),
			Text: fmt.Sprintf("%d: %s", p.N, tell.Held(p)), Brief: fmt.Sprint(p.N),
		}
		if p.Verdict != sim.VerdictToggle {
			m.Text += " " + string(p.Verdict)
			m.First = true
		}
		return m
	}
	return plan
}

func pressTitle(p sim.Press) string {
	title := fmt.Sprintf("press %d at %s, %s: %s", p.N, p.Down.Clock(), tell.Held(p), p.Verdict)
	if p.Doubtful {
		title += ", doubtful"
	}
	return title
}

// windowLane shows for each press that the camera took when its release
// toggles: the end is the long-press deadline.
func windowLane(r *sim.Replay) lanePlan {
	plan := lanePlan{name: "press window", height: 8, gap: laneGap}
	var taken []sim.Press
	for _, p := range r.Presses {
		from := p.Down + r.Window.MinPress
		if p.StateAt.Accepts() && from < r.End {
			taken = append(taken, p)
			plan.spans = append(plan.spans, sim.Span{From: from, To: min(p.Down+r.Window.LongPress, r.End)})
		}
	}
	plan.mark = func(i int) mark {
		p := taken[i]
		return mark{Class: classWindow, Title: fmt.Sprintf("press %d toggles if released from %s on; long from %s on",
			p.N, (p.Down + r.Window.MinPress).Clock(), (p.Down + r.Window.LongPress).Clock())}
	}
	return plan
}

func cameraLane(r *sim.Replay) lanePlan {
	plan := lanePlan{name: "camera", height: 26, gap: laneGap, text: textInside}
	for _, span := range r.StateSpans(r.End) {
		plan.spans = append(plan.spans, span)
	}
	plan.mark = func(i int) mark {
		state := string(r.States[i].State)
		m := mark{Class: state, Title: "camera " + state + " " + spanText(plan.spans[i]), Text: state}
		if r.States[i].State == sim.StateRecording {
			m.Brief = "rec"
		}
		return m
	}
	return plan
}

func takesLane(r *sim.Replay) lanePlan {
	plan := lanePlan{name: "takes", height: 18, gap: laneGap, text: textInside}
	for _, t := range r.Takes {
		plan.spans = append(plan.spans, t.Span())
	}
	plan.mark = func(i int) mark {
		t := r.Takes[i]
		return mark{
			Class: classTake, Title: fmt.Sprintf("take %d, %s", t.N, spanText(plan.spans[i])),
			Text: fmt.Sprintf("take %d: %s", t.N, t.Length().Readable()), Brief: fmt.Sprint(t.N),
		}
	}
	return plan
}

func armedLane(r *sim.Replay) lanePlan {
	return lanePlan{
		name: "armed", height: 12, gap: laneGap, spans: r.Armed.Windows,
		mark: func(i int) mark { return mark{Class: classArmed, Title: "armed " + spanText(r.Armed.Windows[i])} },
	}
}
