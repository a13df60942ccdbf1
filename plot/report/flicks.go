package report

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

const (
	signSize  = 13 // px
	signApart = 20
	// maxSigns is the most signs of a chart. More flicks are only counted.
	maxSigns = 1000
	// countParts is the most parts of the log in which flicks are counted.
	countParts = 120
)

// sign is a flick: a shape at its moment. A hidden one appears when a zoom makes
// room for it.
type sign struct {
	From, To int64 // in ticks
	X        string
	Y        int
	Class    string
	Shape    string // id of its shape
	Title    string
	Doubt    bool
	Hidden   bool
}

// placeFlicks draws the flicks as signs if there is room, else as bars that count
// them.
func (d *drawing) placeFlicks(placed *lane, l *lanes.Lane, end sim.Micros, seen map[lanes.Look]bool) {
	var places []float64
	for _, span := range l.Spans {
		places = append(places, d.pixels(d.ticks(span.From)))
	}
	moved, fits := lanes.SpreadNear(places, signApart, plotLeft, plotLeft+plotWidth)
	if len(l.Spans) <= maxSigns {
		for i, span := range l.Spans {
			label := l.Label(i)
			s := sign{
				From: d.ticks(span.From), To: d.ticks(span.To), X: coordinate(places[i]), Y: placed.Height / 2,
				Class: class(label.Look), Shape: shapeID(label.Look), Title: label.Title, Doubt: label.Doubt, Hidden: !fits,
			}
			if fits {
				s.X = coordinate(moved[i])
			}
			d.Framed = d.Framed || label.Doubt
			seen[label.Look] = true
			placed.Signs = append(placed.Signs, s)
		}
		placed.Labels = d.labelsOfSigns(l, moved, fits)
	}
	if !fits {
		d.Counted = true
		placed.Height += 24
		placed.Marks = d.countMarks(l, end, placed.Height, seen)
	}
}

// countMarks draws a bar for each part of the log that counts each outcome.
func (d *drawing) countMarks(l *lanes.Lane, end sim.Micros, height int, seen map[lanes.Look]bool) []mark {
	parts := lanes.Count(l, sim.Span{To: end}, countParts)
	most := 1
	for _, p := range parts {
		most = max(most, p.Total)
	}
	var marks []mark
	for _, p := range parts {
		for _, b := range p.Bars() {
			seen[b.Look] = true
			class, doubtful := class(b.Look)+" count", ""
			if b.Doubt {
				class, doubtful, d.Framed = class+" doubt", ", doubtful", true
			}
			bottom, top := height-b.Below*height/most, height-(b.Below+b.Count)*height/most
			title := fmt.Sprintf("%s %s%s, %s to %s", tell.Counted(b.Count, "flick", "flicks"), b.Look.Name(), doubtful, p.From.Clock(), p.To.Clock())
			marks = append(marks, d.mark(p.Span, top, max(1, bottom-top), class, title))
		}
	}
	return marks
}

// severalTitle describes a mark for several stretches.
func severalTitle(g lanes.Group) string {
	title := fmt.Sprintf("%d marks %s to %s", g.Past-g.First, g.From.Clock(), g.To.Clock())
	if g.Cover > 0 {
		title += ", covering " + tell.Chance(min(1, g.Cover)) + " of it"
	}
	return title
}
