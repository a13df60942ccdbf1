package plot

import (
	"fmt"

	"gonum.org/v1/plot/vg"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// Takes returns a chart of the takes of several flights, one below the other,
// with armed time and the flicks that did not toggle. Each starts at the left.
// name is that of the rig, or "". Takes returns an error without a flight.
func Takes(title, name string, flights []flight.Flight, look Look) (*Chart, error) {
	if len(flights) == 0 {
		return nil, fmt.Errorf("found no flight to draw")
	}
	span := sim.Span{To: 1}
	var rows []row
	for _, f := range flights {
		span.To = max(span.To, f.Replay.End)
		rows = append(rows, newFlightRow(&f))
	}
	subtitle := "takes from the start of each log"
	if name != "" {
		subtitle = name + " · " + subtitle
	}
	p := newPage(look, title, subtitle)
	p.about = fmt.Sprintf("The takes in %d rows over time.", len(flights))
	body := newStack(rows, p.theme, span)
	found := body.layOut(p.inner())
	p.legend = found.legend()
	p.crowdNotes(found)
	return p.chart(body.natural(), body.natural()*0.7, body.draw)
}

// flightRow shows the takes of a flight, below them its armed time, and above
// them a sign for each flick that did not toggle.
type flightRow struct {
	*flight.Flight
	takes, armed *lanes.Lane
	missed       []lanes.Label
	missedAt     []sim.Micros
}

const armedBar vg.Length = 5

func newFlightRow(f *flight.Flight) flightRow {
	picture := lanes.Of(f.Replay, nil, false)
	at, labels := lanes.Missed(picture.Lane(lanes.Flicks, ""))
	return flightRow{f, picture.Lane(lanes.Bands, "takes"), picture.Lane(lanes.Bands, "armed"), labels, at}
}

func (r flightRow) names() []string {
	total := tell.TotalOf(r.Replay)
	recorded, _ := total.RecordedTime()
	return []string{r.Name(), fmt.Sprintf("%s, takes: %d", recorded, total.Takes)}
}

func (flightRow) height() vg.Length { return 38 }

func (r flightRow) draw(s strip) {
	log := s
	log.Max.X = s.x(r.Replay.End)
	log.Max.Y -= signRow
	s.SetColor(s.theme.Panel)
	s.Fill(log.Rectangle.Path())
	takes, armed := log, log
	takes.Min.Y += armedBar
	takes.Max.X, armed.Max.X = s.Max.X, s.Max.X
	armed.Max.Y = armed.Min.Y + armedBar
	bandRow{r.takes}.draw(takes)
	if r.armed != nil {
		armed.fillBlocks(armed.blocks(r.armed), armed.Min.Y, armed.Max.Y)
	}
	r.drawMissed(s)
}

// drawMissed draws the signs, or says how many there are if there is no room.
func (r flightRow) drawMissed(s strip) {
	var places []float64
	for _, at := range r.missedAt {
		places = append(places, float64(s.x(at)))
	}
	y := s.Max.Y - signRow/2
	moved, ok := lanes.SpreadNear(places, float64(signApart), float64(s.Min.X), float64(s.Max.X))
	if !ok {
		s.FillText(s.theme.quietText(), vg.Point{X: s.Min.X, Y: y}, fmt.Sprintf("%s did not toggle", tell.Counted(len(places), "flick", "flicks")))
		return
	}
	for i, label := range r.missed {
		s.sign(label, vg.Point{X: vg.Length(moved[i]), Y: y})
	}
}
