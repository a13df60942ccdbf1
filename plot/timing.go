package plot

import (
	"fmt"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// TimingView says what part of a replay a timing chart shows, and how.
type TimingView struct {
	Title string
	// Span is the part of the log to show; the zero value is all of it, or the
	// surroundings of Press.
	Span sim.Span
	// Press is the number of the press to show close up with its press window;
	// 0 shows none close up.
	Press int
	Look
}

// SpanOf returns the part of the log that the view shows. It fails where the
// replay has no such press, or the log does not reach the span.
func (v TimingView) SpanOf(r *sim.Replay) (sim.Span, error) {
	if v.Press < 0 || v.Press > len(r.Presses) {
		return sim.Span{}, fmt.Errorf("found no press %d, want one of the %d in the log", v.Press, len(r.Presses))
	}
	span := v.Span
	if span == (sim.Span{}) {
		span = sim.Span{From: 0, To: r.End}
		if v.Press > 0 {
			span = closeUp(r, r.Presses[v.Press-1])
		}
	}
	if span.From > r.End {
		return sim.Span{}, fmt.Errorf("found a span from %s on, want a time before the log ends at %s", span.From.FineClock(), r.End.FineClock())
	}
	if span.From >= span.To && r.End > 0 {
		return sim.Span{}, fmt.Errorf("found a span from %s to %s, want one that ends after it begins", span.From.FineClock(), span.To.FineClock())
	}
	span.To = max(min(span.To, r.End), span.From+1)
	return span, nil
}

// closeUp returns the press with its window and some room around them.
func closeUp(r *sim.Replay, p sim.Press) sim.Span {
	ends := p.Down + r.Rig.Camera.LongPress.High
	if p.Open() {
		ends = max(ends, r.End)
	} else {
		ends = max(ends, p.Effect)
	}
	room := (ends-p.Down)/8 + 1
	return sim.Span{From: max(0, p.Down-room), To: ends + room}
}

// Timing returns the chart of a replay: the channel, what every step of the
// chain made of it, presses, the camera's states, takes, and findings keyed to
// their text. trace holds the channel's values over the span shown, or over
// more; nil leaves that lane out. findings are those of the replay.
func Timing(r *sim.Replay, findings []tell.Finding, trace *sim.Trace, view TimingView) (*Chart, error) {
	span, err := view.SpanOf(r)
	if err != nil {
		return nil, err
	}
	p := newPage(view.Look, view.Title, subtitle(r, view, span))
	p.about = fmt.Sprintf("Timing chart from %s to %s: %s", span.From.Clock(), span.To.Clock(), tell.Summary(r))
	marks := keyFindings(findings, span)
	lanes := lanesOf(r, marks, trace, view, span)
	for _, l := range lanes {
		p.legend = append(p.legend, l.legend(span)...)
	}
	body := newStack(lanes, p.theme, span)
	p.crowdNotes(body.crowdAt(p.inner()))
	for _, m := range marks {
		if m.key != "" {
			p.keyedNote(m.key, m.Text)
		}
	}
	if hidden := unkeyed(marks); hidden > 0 {
		p.note(fmt.Sprintf("More findings, marked without a letter: %d.", hidden))
	}
	return p.chart(body.natural(), body.natural()*0.7, body.draw)
}

// subtitle tells what is shown: the span and what happened in it, or the press
// that is shown close up.
func subtitle(r *sim.Replay, view TimingView, span sim.Span) string {
	if view.Press > 0 {
		p := r.Presses[view.Press-1]
		text := fmt.Sprintf("press %d of %d, down at %s, held %s: %s", p.N, len(r.Presses), p.Down.Clock(), tell.Held(p), p.Verdict)
		if bounds, ok := r.HandBounds(p); ok && !bounds.Exact() {
			text += "; held by hand, as far as the samples tell: " + tell.ByHand(r, p)
		}
		return text
	}
	presses, takes := 0, 0
	for _, p := range r.Presses {
		if p.Up >= span.From && p.Down <= span.To {
			presses++
		}
	}
	for _, t := range r.Takes {
		if t.Start <= span.To && t.End >= span.From {
			takes++
		}
	}
	return fmt.Sprintf("%s to %s; presses: %d, takes: %d", span.From.Clock(), span.To.Clock(), presses, takes)
}

// lane is one row of a timing chart.
type lane interface {
	name() string
	height() vg.Length // unstretched
	draw(strip)
	legend(sim.Span) []legendEntry // of what the lane shows in a span
}

// grounded is a lane with something that lies behind all lanes.
type grounded interface{ ground(strip) }

// lanesOf returns the lanes that say something about a replay, from the top in
// the order of the signal.
func lanesOf(r *sim.Replay, marks []mark, trace *sim.Trace, view TimingView, span sim.Span) []lane {
	var lanes []lane
	if len(marks) > 0 {
		lanes = append(lanes, markLane{marks})
	}
	if trace != nil && r.Tap != sim.TapWire {
		lanes = append(lanes, channelLane{r, trace})
	}
	lanes = append(lanes, waveLanes(r)...)
	if view.Press > 0 {
		lanes = append(lanes, windowLane{r.Rig.Camera, r.Presses[view.Press-1], r.End})
	}
	lanes = append(lanes, pressLane{r}, stateLane(r))
	if r.Armed != nil {
		lanes = append(lanes, armedLane(r))
	}
	lanes = append(lanes, takeLane(r))
	if r.Belief != nil {
		lanes = append(lanes, chanceLane{r.Belief})
	}
	return lanes
}

// stack draws lanes above each other over one time axis.
type stack struct {
	lanes []lane
	axes  *gplot.Plot
	theme *theme
	span  sim.Span
	crowd crowd
}

const (
	laneGap  vg.Length = 7
	axisRoom vg.Length = 22
	tickRoom vg.Length = 60 // for the label of a tick
)

func newStack(lanes []lane, t *theme, span sim.Span) *stack {
	s := &stack{lanes: lanes, theme: t, span: span}
	s.axes = newAxes(t,
		Axis{Scale: ClockScale, Min: float64(span.From), Max: float64(span.To)},
		Axis{Max: float64(s.natural() - axisRoom)})
	s.axes.Y.LineStyle.Width, s.axes.Y.Tick.LineStyle.Width, s.axes.Y.Tick.Length = 0, 0, 0
	restyle(&s.axes.Y.Tick.Label, t.ink, textSize)
	s.axes.Y.Padding = nameGap
	s.axes.Y.Tick.Marker = gplot.ConstantTicks(s.names())
	s.axes.Add(s)
	return s
}

func (s *stack) natural() vg.Length {
	height := axisRoom
	for _, l := range s.lanes {
		height += l.height() + laneGap
	}
	return height
}

// eachLane yields where every lane lies on the Y axis, from the top.
func (s *stack) eachLane(yield func(l lane, low, high vg.Length)) {
	top := s.natural() - axisRoom
	for _, l := range s.lanes {
		yield(l, top-l.height(), top)
		top -= l.height() + laneGap
	}
}

// nameWidth is the most that the names of lanes take, and nameGap the space
// between them and the lanes.
const (
	nameWidth vg.Length = 140
	nameGap   vg.Length = 8
)

func (s *stack) names() []gplot.Tick {
	var ticks []gplot.Tick
	style := s.theme.text()
	s.eachLane(func(l lane, low, high vg.Length) {
		ticks = append(ticks, gplot.Tick{Value: float64(low+high) / 2, Label: truncate(style, clean(l.name()), nameWidth)})
	})
	return ticks
}

// draw draws axis and lanes. The names of lanes to the left take the width they
// need; what stands to the right has a width of its own.
func (s *stack) draw(c draw.Canvas) {
	c = draw.Crop(c, 0, -sideWidth, 0, 0)
	widest := vg.Length(0)
	for _, tick := range s.names() {
		widest = max(widest, s.theme.text().Width(tick.Label))
	}
	s.axes.X.Tick.Marker = ticker{ClockScale, int((c.Size().X - widest) / tickRoom)}
	s.axes.Draw(c)
}

// Plot draws the lanes.
func (s *stack) Plot(c draw.Canvas, p *gplot.Plot) {
	_, toY := p.Transforms(&c)
	on := func(low, high vg.Length) strip {
		area := c
		area.Min.Y, area.Max.Y = toY(float64(low)), toY(float64(high))
		return strip{area, s.theme, s.span, &s.crowd, c.Rectangle}
	}
	s.eachLane(func(l lane, low, high vg.Length) {
		if g, ok := l.(grounded); ok {
			g.ground(on(low, high))
		}
	})
	grid{s.theme, true, false}.Plot(c, p)
	s.eachLane(func(l lane, low, high vg.Length) { l.draw(on(low, high)) })
}

// crowdAt returns what the stack has no room for at a width.
func (s *stack) crowdAt(width vg.Length) crowd {
	s.draw(draw.NewCanvas(new(recorder.Canvas), width, s.natural()))
	return s.crowd
}

// crowdNotes says what a chart has no room for.
func (p *page) crowdNotes(c crowd) {
	if c.unnumbered > 0 {
		p.note(fmt.Sprintf("Presses without room for their number: %d; a shorter span shows them.", c.unnumbered))
	}
	if c.dense {
		p.note("Where more happens than one pixel can show, a solid block stands for it; a shorter span shows it in full.")
	}
}
