package report

import (
	"slices"
	"unicode/utf8"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// label is the text of a mark, shown if there is room. After a zoom the page's
// script places it again by the same rules.
type label struct {
	From, To    int64 // the mark, in ticks
	Y           int   // base line in px
	Text, Brief string
	Inside      bool // in its mark or not at all; else above it
	Sign        int  // index of the sign that it names, -1 = none
	Class       string
	X           string // middle of what is shown, in px; empty if nothing is
	Shown       string // Text, Brief or nothing

	middle      float64 // of the mark
	left, right float64 // of what is shown, in px; 0 if nothing is
	first       bool    // takes precedence over others
}

const (
	// letterWidth is the mean width of a letter in px, rounded up.
	letterWidth = 6.4
	textMargin  = 6 // px between two texts, and from a text to the ends of its mark
)

// labelsOf returns the labels of a lane's stretches, placed.
func (d *drawing) labelsOf(l *lanes.Lane, placed *lane, end sim.Micros) []label {
	if l.Kind == lanes.Levels || l.Kind == lanes.Chance {
		return nil
	}
	inside, y := true, placed.Height/2+4
	if l.Kind == lanes.Findings {
		inside, y = false, -4
	}
	var labels []label
	for _, g := range groupsOf(l, end) {
		if g.Several() {
			continue
		}
		one := d.newLabel(l.Label(g.First), g.Span, y)
		one.Inside = inside
		if !inside {
			one.To = one.From // a finding is placed at its start
		}
		one.middle = (d.pixels(one.From) + d.pixels(one.To)) / 2
		labels = append(labels, one)
	}
	if !inside {
		letApart(labels)
	}
	return d.placed(labels)
}

// letterApart is the distance between letters of findings, in px.
const letterApart = 18

// letApart moves letters apart if they fit beside each other.
func letApart(labels []label) {
	places := make([]float64, len(labels))
	for i, l := range labels {
		places[i] = l.middle
	}
	if moved, ok := lanes.SpreadNear(places, letterApart, plotLeft+letterApart/2, plotLeft+plotWidth-letterApart/2); ok {
		for i := range labels {
			labels[i].middle = moved[i]
		}
	}
}

// newLabel returns a label that is not placed yet. Costly findings take precedence,
// and flicks that did not toggle.
func (d *drawing) newLabel(l lanes.Label, span sim.Span, y int) label {
	one := label{
		From: d.ticks(span.From), To: d.ticks(span.To), Y: y, Text: l.Long, Brief: l.Short,
		Sign: -1, Class: class(l.Look), first: l.Look == lanes.Lost || l.Look != lanes.Toggled && slices.Contains(lanes.Outcomes, l.Look),
	}
	if l.Doubt && l.Short != "" {
		one.Text += "?"
		one.Brief += "?"
	}
	return one
}

// labelsOfSigns returns the labels of flicks, placed above their signs if these
// fit.
func (d *drawing) labelsOfSigns(l *lanes.Lane, moved []float64, fits bool) []label {
	var labels []label
	for i, span := range l.Spans {
		one := d.newLabel(l.Label(i), span, -5)
		one.Sign = i
		if fits {
			one.middle = moved[i]
		}
		labels = append(labels, one)
	}
	if !fits {
		return labels
	}
	return d.placed(labels)
}

// placed gives each label its brief text if it fits, and then its full text if
// that fits beside the others, in order of precedence.
func (d *drawing) placed(labels []label) []label {
	slices.SortStableFunc(labels, func(a, b label) int { return trueFirst(a.first, b.first) })
	for i := range labels {
		d.placeLabel(labels, i, labels[i].Brief)
	}
	for i := range labels {
		d.placeLabel(labels, i, labels[i].Text)
	}
	return labels
}

// placeLabel shows a text of one of the labels of a row if it fits beside the
// others.
func (d *drawing) placeLabel(labels []label, i int, text string) {
	l := &labels[i]
	half := (float64(utf8.RuneCountInString(text))*letterWidth + textMargin) / 2
	if text == "" || l.Inside && d.pixels(l.To)-d.pixels(l.From) < 2*half {
		return
	}
	middle := min(max(l.middle, plotLeft+half), plotLeft+plotWidth-half)
	for j, other := range labels {
		if j != i && middle-half < other.right && middle+half > other.left {
			return
		}
	}
	l.left, l.right = middle-half, middle+half
	l.X, l.Shown = coordinate(middle), text
}
