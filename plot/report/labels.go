package report

import (
	"cmp"
	"slices"
	"unicode/utf8"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// label is the text of a mark. It shows if there is room for it; the page's
// script places it again after a zoom by the same rules.
type label struct {
	From, To    int64 // the mark, in ticks
	Y           int   // base line in px
	Text, Brief string
	Inside      bool // in its mark or not at all; else centred above
	Sign        int  // number of the sign that it names, -1 = none
	Class       string
	X           string // middle of what is shown, in px; empty if nothing is
	Shown       string // Text, Brief or nothing

	middle float64 // of the mark
	first  bool    // takes precedence in a narrow place
}

const (
	// letterWidth is a generous mean width of a letter of a label in px.
	letterWidth = 6.4
	textMargin  = 6 // px between two texts, and between a text and its mark's ends
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
		from, to := d.ticks(g.From), d.ticks(g.To)
		text := l.Label(g.First)
		one := label{
			From: from, To: to, Y: y, Text: text.Long + doubt(text), Brief: text.Short + doubt(text), Inside: inside, Sign: -1,
			Class: class(text.Look), middle: (d.pixels(from) + d.pixels(to)) / 2, first: text.Look == lanes.Lost,
		}
		if !inside {
			one.To, one.middle = from, d.pixels(from) // a finding is placed at its start
		}
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
	if moved, ok := lanes.Spread(places, letterApart, plotLeft+letterApart/2, plotLeft+plotWidth-letterApart/2); ok && near(places, moved) {
		for i := range labels {
			labels[i].middle = moved[i]
		}
	}
}

func doubt(l lanes.Label) string {
	if l.Doubt && l.Short != "" {
		return "?"
	}
	return ""
}

// labelsOfSigns returns the labels of flicks, placed above their signs.
func (d *drawing) labelsOfSigns(l *lanes.Lane, moved []float64, fits bool) []label {
	var labels []label
	for i, span := range l.Spans {
		text := l.Label(i)
		one := label{
			From: d.ticks(span.From), To: d.ticks(span.To), Y: -5, Text: text.Long + doubt(text), Brief: text.Short + doubt(text),
			Sign: i, Class: class(text.Look), first: text.Look != lanes.Toggled,
		}
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

// placed gives every label its brief text if it fits, and then its full text if
// it fits beside the others, in order of precedence.
func (d *drawing) placed(labels []label) []label {
	slices.SortStableFunc(labels, func(a, b label) int { return cmp.Compare(rank(a), rank(b)) })
	others := row{}
	brief := func(l *label) string { return l.Brief }
	full := func(l *label) string { return l.Text }
	for _, text := range []func(*label) string{brief, full} {
		for i := range labels {
			d.placeLabel(&labels[i], text(&labels[i]), others)
		}
	}
	return labels
}

func rank(l label) int {
	if l.first {
		return 0
	}
	return 1
}

// placeLabel shows a text of a label if it has room.
func (d *drawing) placeLabel(l *label, text string, others row) {
	half := (float64(utf8.RuneCountInString(text))*letterWidth + textMargin) / 2
	middle := min(max(l.middle, plotLeft+half), plotLeft+plotWidth-half)
	place := interval{middle - half, middle + half}
	if text == "" || l.Inside && d.pixels(l.To)-d.pixels(l.From) < 2*half || !others.free(place, l) {
		return
	}
	others[l] = place
	l.X, l.Shown = coordinate(middle), text
}

// row has the ranges that the labels of a row of text take, in px.
type row map[*label]interval

type interval struct{ from, to float64 }

// free reports whether no other label overlaps a place.
func (r row) free(place interval, l *label) bool {
	for other, taken := range r {
		if other != l && place.from < taken.to && place.to > taken.from {
			return false
		}
	}
	return true
}
