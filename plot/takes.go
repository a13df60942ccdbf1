package plot

import (
	"fmt"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Flight is one log on a [Takes] chart.
type Flight struct {
	Name     string
	Replay   *sim.Replay
	Findings []tell.Finding
}

// Takes returns a chart of the takes of several flights, one below the other
// from their common start, with armed time and lost footage. It fails without a
// flight.
func Takes(title string, flights []Flight, look Look) (*Chart, error) {
	if len(flights) == 0 {
		return nil, fmt.Errorf("found no flight to draw")
	}
	span := sim.Span{To: 1}
	var lanes []lane
	for _, f := range flights {
		span.To = max(span.To, f.Replay.End)
		lanes = append(lanes, newFlightLane(f))
	}
	p := newPage(look, title, "from the start of each log")
	p.about = fmt.Sprintf("The takes in %d rows over time.", len(flights))
	p.legend = flightLegend(flights)
	body := newStack(lanes, p.theme, span)
	p.crowdNotes(body.crowdAt(p.inner()))
	return p.chart(body.natural(), body.natural()*0.7, body.draw)
}

// flightLane shows a flight: its takes, below them its armed time, and marks
// where footage was lost.
type flightLane struct {
	Flight
	takes, armed lane
	lost         []mark
}

const armedBar vg.Length = 5

func newFlightLane(f Flight) flightLane {
	l := flightLane{Flight: f, takes: takeLane(f.Replay)}
	if f.Replay.Armed != nil {
		l.armed = armedBarLane(f.Replay)
	}
	for _, finding := range f.Findings {
		if finding.Costs {
			l.lost = append(l.lost, mark{Finding: finding})
		}
	}
	return l
}

// armedBarLane is the armed time without words.
func armedBarLane(r *sim.Replay) lane {
	l := armedLane(r).(bandLane)
	l.labels = func(int) []string { return nil }
	return l
}

func (l flightLane) name() string                { return l.Name }
func (flightLane) height() vg.Length             { return 28 }
func (flightLane) legend(sim.Span) []legendEntry { return nil }

func (l flightLane) draw(s strip) {
	log := s
	log.Max.X = s.x(l.Replay.End)
	s.SetColor(s.theme.mild)
	s.Fill(log.Rectangle.Path())
	takes, armed := s, s
	takes.Min.Y += armedBar
	takes.Max.Y -= lostMark
	armed.Max.Y = armed.Min.Y + armedBar
	l.takes.draw(takes)
	if l.armed != nil {
		l.armed.draw(armed)
	}
	l.drawLost(s)
	ink, quiet := textStyle(s.theme.ink, smallSize), s.theme.quietText()
	s.nameRight(
		rightName{s.Max.Y - 6, l.Replay.Recorded().Readable(), ink},
		rightName{s.Min.Y + 8, fmt.Sprintf("takes: %d", len(l.Replay.Takes)), quiet})
}

const lostMark vg.Length = 7

// drawLost draws a filled triangle wherever footage was lost, one a column.
func (l flightLane) drawLost(s strip) {
	var path vg.Path
	column := -1
	for _, m := range l.lost {
		x := s.x(m.At)
		if s.column(x) == column {
			continue
		}
		column = s.column(x)
		path = addTriangle(path, vg.Point{X: x, Y: s.Max.Y - lostMark})
	}
	if len(path) > 0 {
		s.SetColor(s.theme.ink)
		s.Fill(path)
	}
}

// addTriangle adds a triangle that stands on its tip.
func addTriangle(path vg.Path, tip vg.Point) vg.Path {
	path.Move(tip)
	path.Line(tip.Add(vg.Point{X: -4, Y: lostMark}))
	path.Line(tip.Add(vg.Point{X: 4, Y: lostMark}))
	path.Close()
	return path
}

func flightLegend(flights []Flight) []legendEntry {
	var anyArmed, anyLost bool
	for _, f := range flights {
		anyArmed = anyArmed || f.Replay.Armed != nil
		anyLost = anyLost || f.Replay.FlicksFailed()
	}
	entries := []legendEntry{
		{"log", func(c draw.Canvas, t *theme) {
			c.SetColor(t.mild)
			c.Fill(c.Rectangle.Path())
		}},
		{"take", func(c draw.Canvas, t *theme) { drawFill(c, t, c.Rectangle, stateFill(t, sim.StateRecording)) }},
	}
	if anyArmed {
		entries = append(entries, legendEntry{"armed", func(c draw.Canvas, t *theme) {
			c.Max.Y = c.Min.Y + armedBar
			drawFill(c, t, c.Rectangle, armedFill(t))
		}})
	}
	if anyLost {
		entries = append(entries, legendEntry{"footage lost", func(c draw.Canvas, t *theme) {
			c.SetColor(t.ink)
			c.Fill(addTriangle(nil, vg.Point{X: c.Center().X, Y: c.Center().Y - lostMark/2}))
		}})
	}
	return entries
}
