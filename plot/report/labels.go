package report

import (
	"cmp"
	"slices"
	"unicode/utf8"
)

// label is the text of a mark. It shows where there is room for it; the script
// of the page places it anew after a zoom by the same rules.
type label struct {
	From, To    int64 // the mark, in ticks
	Y           int   // base line in px
	Text, Brief string
	Inside      bool // stands in its mark, or not at all; else centred above
	Class       string
	X           string // middle of what is shown, in px; empty if nothing is
	Shown       string // Text, Brief or nothing
}

const (
	// letterWidth is a generous mean width of a letter of a label in px.
	letterWidth = 6.4
	textMargin  = 6 // px between two texts, and between a text and its mark's ends
)

// labelsOf returns the labels of a lane's marks, those that come first at the
// front.
func (d *drawing) labelsOf(marks []mark, plan lanePlan, laneY int) []label {
	if plan.text == textNone {
		return nil
	}
	ordered := slices.Clone(marks)
	slices.SortStableFunc(ordered, func(a, b mark) int { return cmp.Compare(rank(a), rank(b)) })
	y := laneY - 5
	if plan.text == textInside {
		y = laneY + plan.height/2 + 4
	}
	var labels []label
	for _, m := range ordered {
		if m.Text != "" {
			labels = append(labels, label{
				From: d.ticks(m.From), To: d.ticks(m.To), Y: y,
				Text: m.Text, Brief: m.Brief, Inside: plan.text == textInside, Class: m.Class,
			})
		}
	}
	return labels
}

func rank(m mark) int {
	if m.First {
		return 0
	}
	return 1
}

// placeLabels gives every label its brief text where that has room, and then
// its full text where that has room beside them.
func (d *drawing) placeLabels() {
	rows := map[int]row{}
	for _, l := range d.Labels {
		rows[l.Y] = row{}
	}
	brief := func(l *label) string { return l.Brief }
	full := func(l *label) string { return l.Text }
	for _, text := range []func(*label) string{brief, full} {
		for i := range d.Labels {
			l := &d.Labels[i]
			d.placeLabel(l, text(l), rows[l.Y])
		}
	}
}

// placeLabel shows a text of a label if it has room.
func (d *drawing) placeLabel(l *label, text string, others row) {
	from, to := d.pixels(l.From), d.pixels(l.To)
	half := (float64(utf8.RuneCountInString(text))*letterWidth + textMargin) / 2
	middle := min(max((from+to)/2, plotLeft+half), plotLeft+plotWidth-half)
	place := extent{middle - half, middle + half}
	if text == "" || l.Inside && to-from < 2*half || !others.free(place, l) {
		return
	}
	others[l] = place
	l.X, l.Shown = coordinate(middle), text
}

// row holds what the labels of a row of text take, in px.
type row map[*label]extent

type extent struct{ from, to float64 }

// free reports whether no other label overlaps a place.
func (r row) free(place extent, l *label) bool {
	for other, taken := range r {
		if other != l && place.from < taken.to && place.to > taken.from {
			return false
		}
	}
	return true
}
