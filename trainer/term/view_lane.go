package term

import (
	"cmp"
	"fmt"
	"slices"
	"sort"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// laneKind says how a lane is drawn.
type laneKind int

const (
	levelLane   laneKind = iota // pressed or released
	bandLane                    // named stretches
	channelLane                 // the channel's value
	chanceLane                  // the chance that the camera records
	pointLane                   // moments
)

// lane is one signal of the picture. Whatever it shows, it changes at steps
// only: what the cursor stops at, and between which it measures.
type lane struct {
	name  string
	kind  laneKind
	steps []step // in order of time; the first at 0, but for a lane of moments
	face  func(value int) face
}

// step says that a lane has a value from a moment on. 0 is the value at rest:
// released, no press, no take.
type step struct {
	at    sim.Micros
	value int
}

// face is how a value looks: a name, as long as there is room for, and a filling.
type face struct {
	short, long string
	role        Role
	shade       Shade
	says        string // in a sentence; "" where the long name will do
}

func (f face) said() string { return cmp.Or(f.says, f.long) }

// stepAt returns the number of the step in force at a moment, -1 before the
// first.
func (l *lane) stepAt(at sim.Micros) int {
	return sort.Search(len(l.steps), func(i int) bool { return l.steps[i].at > at }) - 1
}

// stretchAt returns the stretch around a moment in which the lane keeps its
// value, cut at the end of the log.
func (l *lane) stretchAt(at, end sim.Micros) (stretch sim.Span, value int) {
	stretch = sim.Span{From: 0, To: end}
	i := l.stepAt(at)
	if i >= 0 {
		stretch.From, value = l.steps[i].at, l.steps[i].value
	}
	if i+1 < len(l.steps) {
		stretch.To = l.steps[i+1].at
	}
	return stretch, value
}

// lanesOf returns the lanes of a log in the order of the signal, without those
// that would show nothing of their own.
func lanesOf(log Log) []lane {
	r := log.Replay
	lanes := append(signalLanes(log), pressLane(r), cameraLane(r), takeLane(r))
	if r.Belief != nil {
		lanes = append(lanes, chanceLaneOf(r))
	}
	if r.Armed != nil {
		lanes = append(lanes, armedLane(r.Armed.Windows, r.End))
	}
	if len(log.Findings) > 0 {
		lanes = append(lanes, findingLane(log.Findings))
	}
	return lanes
}

// signalLanes returns the lanes from where the log was recorded to the camera.
func signalLanes(log Log) []lane {
	r := log.Replay
	signals := r.Signals()
	var lanes []lane
	if log.Channel != nil && r.Tap != sim.TapWire {
		name := "channel"
		if r.Tap == sim.TapOutput {
			name = "output"
		}
		lanes = append(lanes, levelOf(name, channelLane, levels(signals[0].Lane)))
	}
	for _, s := range signals {
		lanes = append(lanes, levelOf(s.Name, levelLane, levels(s.Lane)))
	}
	return lanes
}

func levels(l sim.Lane) []step {
	steps := []step{{0, oneIf(l.Initial)}}
	for _, e := range l.Edges {
		steps = append(steps, step{e.At, oneIf(e.Pressed)})
	}
	return steps
}

func oneIf(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func levelOf(name string, kind laneKind, steps []step) lane {
	faces := [...]face{{long: "released", role: Dim}, {long: "pressed", role: Pressed}}
	return lane{name, kind, steps, func(value int) face { return faces[value] }}
}

// stretches makes steps of stretches in order of time, numbered from 1 on. What
// lies between them is 0.
func stretches(spans []sim.Span, end sim.Micros) []step {
	steps := []step{{0, 0}}
	for i, span := range spans {
		if last := len(steps) - 1; steps[last].at == span.From {
			steps = steps[:last]
		}
		steps = append(steps, step{span.From, i + 1})
		if span.To < end {
			steps = append(steps, step{span.To, 0})
		}
	}
	return steps
}

func pressLane(r *sim.Replay) lane {
	spans := make([]sim.Span, len(r.Presses))
	for i, p := range r.Presses {
		spans[i] = p.Span(r.End)
	}
	return lane{"presses", bandLane, stretches(spans, r.End), func(n int) face {
		if n == 0 {
			return face{long: "no press"}
		}
		p := r.Presses[n-1]
		f := face{
			fmt.Sprint(n), fmt.Sprintf("%d %s %s", n, tell.Held(p), p.Verdict), Problem, Dense,
			fmt.Sprintf("press %d, %s", n, p.Verdict),
		}
		if p.Verdict == sim.VerdictToggle && !p.Doubtful {
			f.role, f.shade = Pressed, Solid
		}
		return f
	}}
}

// cameraFaces are the looks of the camera's states. The camera is never at rest.
var cameraFaces = []face{
	{},
	{short: "off", long: string(sim.StateOff), role: Problem, shade: Clear},
	{short: "boot", long: string(sim.StateBooting), role: Dim, shade: Light},
	{short: "stby", long: string(sim.StateStandby), role: Dim, shade: Dotted},
	{short: "start", long: string(sim.StateStarting), role: Dim, shade: Light},
	{short: "rec", long: string(sim.StateRecording), role: Recording, shade: Dense},
	{short: "stop", long: string(sim.StateStopping), role: Dim, shade: Light},
	{short: "?", long: string(sim.StateUnknown), role: Problem, shade: Questioned},
}

func cameraLane(r *sim.Replay) lane {
	steps := make([]step, len(r.States))
	for i, change := range r.States {
		is := func(f face) bool { return f.long == string(change.State) }
		steps[i] = step{change.At, slices.IndexFunc(cameraFaces, is)}
	}
	return lane{"camera", bandLane, steps, func(value int) face { return cameraFaces[value] }}
}

func takeLane(r *sim.Replay) lane {
	spans := make([]sim.Span, len(r.Takes))
	for i, t := range r.Takes {
		spans[i] = t.Span()
	}
	return lane{"takes", bandLane, stretches(spans, r.End), func(n int) face {
		if n == 0 {
			return face{long: "no take"}
		}
		take := fmt.Sprint("take ", n)
		return face{fmt.Sprint(n), take + " " + r.Takes[n-1].Length().Clock(), Recording, Dense, take}
	}}
}

func chanceLaneOf(r *sim.Replay) lane {
	steps := make([]step, len(r.Belief))
	for i, b := range r.Belief {
		steps[i] = step{b.From, i}
	}
	return lane{"chance", chanceLane, steps, func(i int) face {
		return face{long: tell.ChanceOver(r.Belief[i]) + " recording", role: Recording}
	}}
}

func armedLane(windows []sim.Span, end sim.Micros) lane {
	return lane{"armed", bandLane, stretches(windows, end), func(n int) face {
		if n == 0 {
			return face{long: "not armed"}
		}
		return face{short: "armed", long: "armed", role: Armed, shade: Light}
	}}
}

func findingLane(findings []tell.Finding) lane {
	steps := make([]step, len(findings))
	for i, f := range findings {
		steps[i] = step{f.At, i}
	}
	return lane{"findings", pointLane, steps, func(i int) face {
		if findings[i].Costs {
			return face{short: "!", role: Problem}
		}
		return face{short: "*", role: Plain}
	}}
}
