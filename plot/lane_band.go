package plot

import (
	"fmt"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// bandLane shows stretches of time as labelled boxes of several kinds.
type bandLane struct {
	title    string
	segments []segment
	kinds    []bandKind
	labels   func(i int) []string // of a segment, from the one that says most
}

// bandKind is a kind of box. A kind with a name is in the legend.
type bandKind struct {
	name string
	fill func(*theme) fill
}

func (l bandLane) name() string    { return l.title }
func (bandLane) height() vg.Length { return 18 }

func (l bandLane) draw(s strip) {
	blocks := s.blocks(l.segments)
	var several []vg.Rectangle
	areas := make([][]vg.Rectangle, len(l.kinds))
	for _, b := range blocks {
		area := b.rect(s.Min.Y, s.Max.Y)
		if b.several {
			several = append(several, area)
		} else {
			areas[b.kind] = append(areas[b.kind], area)
		}
	}
	for kind, all := range areas {
		s.fillRects(all, l.kinds[kind].fill(s.theme))
		s.outline(all, line(s.theme.ink, hairline))
	}
	s.fillRects(several, fill{colour: s.theme.frame})
	for _, b := range blocks {
		if b.several {
			continue
		}
		for _, words := range l.labels(b.item) {
			if s.label(b.rect(s.Min.Y, s.Max.Y), words, l.kinds[b.kind].fill(s.theme)) {
				break
			}
		}
	}
}

func (l bandLane) legend(span sim.Span) []legendEntry {
	seen := make([]bool, len(l.kinds))
	for _, seg := range l.segments {
		if seg.From <= span.To && seg.To >= span.From {
			seen[seg.kind] = true
		}
	}
	var entries []legendEntry
	for i, kind := range l.kinds {
		if seen[i] && kind.name != "" {
			entries = append(entries, legendEntry{kind.name, func(c draw.Canvas, t *theme) {
				drawFill(c, t, c.Rectangle, kind.fill(t))
			}})
		}
	}
	return entries
}

// drawFill draws a box with a fill.
func drawFill(c draw.Canvas, t *theme, area vg.Rectangle, f fill) {
	s := strip{Canvas: c, theme: t}
	s.fillRects([]vg.Rectangle{area}, f)
	s.outline([]vg.Rectangle{area}, line(t.ink, hairline))
}

// stateOrder lists the states in the order of the legend.
var stateOrder = []sim.State{
	sim.StateStandby, sim.StateStarting, sim.StateRecording, sim.StateStopping,
	sim.StateOff, sim.StateBooting, sim.StateUnknown,
}

// stateFill returns how a state of the camera is drawn.
func stateFill(t *theme, state sim.State) fill {
	switch state {
	case sim.StateStandby:
		return fill{t.paper, noHatch, t.ink}
	case sim.StateStarting:
		return fill{blend(t.paper, t.take, 0.3), hatchRising, t.ink}
	case sim.StateRecording:
		return fill{t.take, noHatch, t.textOnFill}
	case sim.StateStopping:
		return fill{blend(t.paper, t.take, 0.3), hatchFalling, t.ink}
	case sim.StateOff:
		return fill{blend(t.paper, t.ink, 0.35), noHatch, t.ink}
	case sim.StateBooting:
		return fill{t.mild, hatchUpright, t.ink}
	default:
		return fill{t.mild, hatchCross, t.ink}
	}
}

// stateLane shows what the model takes the camera to be doing.
func stateLane(r *sim.Replay) lane {
	l := bandLane{title: "camera"}
	kindOf := map[sim.State]int{}
	for i, state := range stateOrder {
		kindOf[state] = i
		l.kinds = append(l.kinds, bandKind{string(state), func(t *theme) fill { return stateFill(t, state) }})
	}
	for state, span := range r.StateSpans(r.End) {
		l.segments = append(l.segments, segment{span, kindOf[state]})
	}
	l.labels = func(i int) []string { return []string{string(r.States[i].State)} }
	return l
}

// armedLane shows when the craft was armed.
func armedLane(r *sim.Replay) lane {
	l := bandLane{title: "armed", segments: segmentsOf(r.Armed.Windows)}
	l.kinds = []bandKind{{"", armedFill}}
	l.labels = func(i int) []string { return []string{"armed " + r.Armed.Windows[i].Length().Readable()} }
	return l
}

func armedFill(t *theme) fill { return fill{blend(t.paper, bluishGreen, 0.3), noHatch, t.ink} }

// takeLane shows the takes with their numbers, lengths and what cut them off.
func takeLane(r *sim.Replay) lane {
	l := bandLane{title: "takes"}
	for _, t := range r.Takes {
		l.segments = append(l.segments, segment{Span: t.Span()})
	}
	l.kinds = []bandKind{{"", func(t *theme) fill { return stateFill(t, sim.StateRecording) }}}
	l.labels = func(i int) []string { return takeLabels(r.Takes[i]) }
	return l
}

func takeLabels(t sim.Take) []string {
	number := fmt.Sprintf("%d", t.N)
	length := number + ": " + t.Length().Readable()
	if t.Ended == sim.EndPress {
		return []string{length, number}
	}
	return []string{length + ", to " + tell.Ended(t), length, number}
}
