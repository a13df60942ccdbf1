package lanes

import (
	"sort"

	"flicktally/sim"
)

// Group is what one mark of a view stands for: one stretch of a lane, or
// several that fall on one column. It covers the stretches from First up to but
// not including Past.
type Group struct {
	sim.Span
	First, Past int
	// Cover is the share of the span that its stretches cover, 0 to 1.
	Cover float64
}

// Several reports whether the group stands for more than one stretch.
func (g Group) Several() bool { return g.Past > g.First+1 }

// Thin groups the stretches visible in a window of the given number of columns.
// Stretches narrower than a column that start in the same one form a group, and
// groups of several that touch are joined. So there are at most about two
// groups per column, however long the log is. The stretches are in order of
// time and do not overlap.
func Thin(spans []sim.Span, window sim.Span, columns int) []Group {
	width := max(1, window.Length()/sim.Micros(max(1, columns)))
	narrow := func(s sim.Span) bool { return s.Length() < width }
	column := func(at sim.Micros) sim.Micros { return (at - window.From) / width }
	var groups []Group
	first := sort.Search(len(spans), func(i int) bool { return spans[i].To >= window.From })
	for i := first; i < len(spans) && spans[i].From <= window.To; {
		g := Group{Span: spans[i], First: i, Past: i + 1}
		covered := g.Length()
		for narrow(spans[i]) && g.Past < len(spans) && narrow(spans[g.Past]) && column(spans[g.Past].From) == column(spans[i].From) {
			covered += spans[g.Past].Length()
			g.To = spans[g.Past].To
			g.Past++
		}
		i = g.Past
		g.Cover = float64(covered) / float64(max(1, g.Length()))
		groups = joined(groups, g, width)
	}
	return groups
}

// joined adds a group. It merges it with the one before if both have several
// stretches and they touch.
func joined(groups []Group, g Group, width sim.Micros) []Group {
	n := len(groups)
	if n == 0 || !groups[n-1].Several() || !g.Several() || g.From-groups[n-1].To > width {
		return append(groups, g)
	}
	last := &groups[n-1]
	covered := last.Cover*float64(last.Length()) + g.Cover*float64(g.Length())
	last.To, last.Past = g.To, g.Past
	last.Cover = covered / float64(max(1, last.Length()))
	return groups
}

// Counts is the number of stretches of each look that start in a part of a
// window.
type Counts struct {
	sim.Span
	Of       [LookCount]int
	Doubtful [LookCount]int // of those
	Total    int
}

// Add counts a stretch.
func (c *Counts) Add(look Look, doubt bool) {
	c.Of[look]++
	c.Total++
	if doubt {
		c.Doubtful[look]++
	}
}

// Bar is a piece of a stack of bars: Count stretches of a look, above Below
// others.
type Bar struct {
	Look         Look
	Below, Count int
	Doubt        bool
}

// Bars stacks the counts of outcomes. The doubtful ones of a look are above the
// others.
func (c *Counts) Bars() []Bar {
	var bars []Bar
	below := 0
	add := func(look Look, count int, doubt bool) {
		if count > 0 {
			bars = append(bars, Bar{look, below, count, doubt})
			below += count
		}
	}
	for _, look := range Outcomes {
		add(look, c.Of[look]-c.Doubtful[look], false)
		add(look, c.Doubtful[look], true)
	}
	return bars
}

// Count counts the stretches of a lane by look in equal parts of a window, at most
// most, each as long as a step of the time axis. The parts at the ends may extend
// beyond the window.
func Count(l *Lane, window sim.Span, most int) []Counts {
	step := stepFor(window, most)
	first := window.From / step
	all := make([]Counts, window.To/step-first+1)
	for i := range all {
		from := (first + sim.Micros(i)) * step
		all[i].Span = sim.Span{From: from, To: from + step}
	}
	for i, s := range l.Spans {
		if s.From < window.From || s.From > window.To {
			continue
		}
		label := l.Label(i)
		all[s.From/step-first].Add(label.Look, label.Doubt)
	}
	return all
}
