package term

import (
	"fmt"

	"github.com/rivo/uniseg"

	"flicktally/sim"
)

// eachColumn yields every column of a plot that shows a part of the log, with the
// moments [from, to) in it.
func (w window) eachColumn(yield func(column int, s sim.Span) bool) {
	for x := range w.columns {
		s := sim.Span{From: w.start(x), To: min(w.start(x+1), w.end+1)}
		if s.From > w.end || !yield(x, s) {
			return
		}
	}
}

// within returns the steps of a lane that are in force in a stretch.
func (l *lane) within(s sim.Span) []step {
	return l.steps[max(0, l.stepAt(s.From)) : l.stepAt(s.To-1)+1]
}

// drawLevel draws a two-valued lane: full cells while pressed, a low line else.
func (v *view) drawLevel(c *Canvas, l *lane) {
	for x, s := range v.window.eachColumn {
		steps := l.within(s)
		text := levelGlyph(c.Glyphs, steps, s)
		if text == c.Glyphs.Low {
			c.Set(x, c.Height-1, text, Dim)
			continue
		}
		for y := range c.Height {
			c.Set(x, y, text, Pressed)
		}
	}
}

// levelGlyph returns the character for the steps of one column. A single edge is
// drawn to a third of the column.
func levelGlyph(g *Glyphs, steps []step, s sim.Span) string {
	pressed := steps[0].value == 1
	switch edges := len(steps) - 1; {
	case edges == 0 && pressed:
		return g.Shades[Solid]
	case edges == 0:
		return g.Low
	case edges == 1 && pressed:
		return g.Fall[thirdOf(steps[1].at, s)]
	case edges == 1:
		return g.Rise[thirdOf(steps[1].at, s)]
	case edges == 2 && pressed:
		return g.Gap
	case edges == 2:
		return g.Brief
	default:
		return g.Several
	}
}

// thirdOf returns in which third of a stretch a moment lies, 0 to 2.
func thirdOf(at sim.Micros, s sim.Span) int { return int((at - s.From) * 3 / s.Length()) }

// run is a stretch of columns in which a band shows one value.
type run struct {
	from, to int // columns, to excluded
	value    int
	kind     runKind
}

// runKind tells how well the columns of a run show what is in them.
type runKind int

const (
	wholeRun   runKind = iota
	briefRun           // one stretch, shorter than the column
	severalRun         // several stretches within the column
)

// runs returns the columns of a band, joined where they show the same.
func (v *view) runs(l *lane) []run {
	var runs []run
	for x, s := range v.window.eachColumn {
		value, kind := mainValue(l.within(s), s)
		if last := len(runs) - 1; last >= 0 && runs[last].value == value && kind != severalRun && runs[last].kind != severalRun {
			runs[last].to, runs[last].kind = x+1, wholeRun
			continue
		}
		runs = append(runs, run{x, x + 1, value, kind})
	}
	return runs
}

// mainValue returns the value that a column shows: of those not at rest the one
// that is in force longest.
func mainValue(steps []step, s sim.Span) (int, runKind) {
	value, longest, active := 0, sim.Micros(-1), 0
	for i, st := range steps {
		since, until := max(st.at, s.From), s.To
		if i+1 < len(steps) {
			until = steps[i+1].at
		}
		if st.value == 0 {
			continue
		}
		active++
		if until-since > longest {
			value, longest = st.value, until-since
		}
	}
	switch rests := len(steps) - active; {
	case active == 0 || rests == 0:
		return value, wholeRun
	case active == 1:
		return value, briefRun
	default:
		return value, severalRun
	}
}

// drawBand draws named stretches: each with its name in it, or behind it where
// the band is at rest for long enough.
func (v *view) drawBand(c *Canvas, l *lane) {
	runs := v.runs(l)
	for i, r := range runs {
		if r.value == 0 {
			continue
		}
		f := l.face(r.value)
		text := [...]string{c.Glyphs.Shades[f.shade], c.Glyphs.Brief, c.Glyphs.Several}[r.kind]
		for x := r.from; x < r.to; x++ {
			for y := range c.Height {
				c.Set(x, y, text, f.role)
			}
		}
		if r.kind == severalRun || c.Area(r.from, c.Height/2, r.to-r.from, 1).nameInside(f) {
			continue
		}
		if i+1 < len(runs) && runs[i+1].value == 0 {
			rest := runs[i+1]
			c.Area(rest.from, c.Height/2, rest.to-rest.from, 1).Text(0, 0, f.nameFor(rest.to-rest.from-1), Plain)
		}
	}
}

// nameInside writes a name into a filled line and reports whether it has room,
// with a blank on both sides.
func (c *Canvas) nameInside(f face) bool {
	name := f.nameFor(c.Width - 2)
	if name == "" {
		return false
	}
	c.Text(1, 0, " "+name+" ", f.role)
	return true
}

// nameFor returns the longest name that fits a width, or "".
func (f face) nameFor(width int) string {
	for _, name := range []string{f.long, f.short} {
		if uniseg.StringWidth(name) <= width {
			return name
		}
	}
	return ""
}

// drawPoints draws moments, and their number where a column holds more than one.
func (v *view) drawPoints(c *Canvas, l *lane) {
	for x, s := range v.window.eachColumn {
		first, past := l.stepAt(s.From-1)+1, l.stepAt(s.To-1)+1
		if first == past {
			continue
		}
		f := l.face(l.steps[first].value)
		text := f.short
		if n := past - first; n > 1 {
			text = fmt.Sprint(min(n, 9))
		}
		c.Set(x, 0, text, f.role)
	}
}

// drawChannel draws the channel's value as a bar from the bottom, up to its
// lowest value in the column and, lighter, up to its highest.
func (v *view) drawChannel(c *Canvas, l *lane) {
	v.drawLimits(c)
	for _, bin := range v.channelBins() {
		x := v.window.column(bin.From)
		if bin.Absent() {
			c.Set(x, c.Height-1, c.Glyphs.Absent, Problem)
			continue
		}
		_, position := l.stretchAt(bin.From, v.window.end)
		c.drawBar(x, v.scale.share(bin.Low), v.scale.share(bin.High), l.face(position).role)
	}
}

// channelBins returns the channel in a bin per column. It keeps them while the
// window stays: to reduce a long log again for every move of the cursor is felt.
func (v *view) channelBins() []sim.TraceBin {
	if v.binned != v.window {
		end := min(v.window.from+v.window.span, v.window.end+1)
		v.bins = v.log.Trace.Range(v.window.from, end, v.window.column(end-1)+1)
		v.binned = v.window
	}
	return v.bins
}

// drawLimits draws the ends of the press ranges, where there is room for them.
func (v *view) drawLimits(c *Canvas) {
	if c.Height < 3 {
		return
	}
	for _, r := range v.log.Replay.Rig.Switch.Press {
		for _, limit := range []sim.PulseWidth{r.Low, r.High} {
			share := v.scale.share(limit)
			if share <= 0 || share >= 1 {
				continue
			}
			y := c.Height - 1 - int(share*float64(c.Height))
			for x := range c.Width {
				c.Set(x, y, c.Glyphs.Limit, Dim)
			}
		}
	}
}

// drawChance draws the chance as a bar over the height of the lane.
func (v *view) drawChance(c *Canvas) {
	belief := v.log.Replay.Belief
	i := 0
	for x, s := range v.window.eachColumn {
		middle := s.From + s.Length()/2
		for i+1 < len(belief) && belief[i+1].From <= middle {
			i++
		}
		share := belief[i].ChanceAt(middle)
		c.drawBar(x, share, share, Recording)
	}
}

// drawBar draws a bar from the bottom of the canvas: solid up to a share of its
// height, and lighter up to another. The lowest level shows even for 0.
func (c *Canvas) drawBar(x int, solid, light float64, role Role) {
	levels := float64(c.Height*levelCount - 1)
	solidLevels, lightLevels := 1+int(solid*levels), 1+int(light*levels)
	for row := range c.Height {
		below, y := row*levelCount, c.Height-1-row
		switch {
		case solidLevels > below:
			c.Set(x, y, c.Glyphs.Levels[min(solidLevels-below, levelCount)-1], role)
		case lightLevels > below:
			c.Set(x, y, c.Glyphs.Between, role)
		}
	}
}

// scale is the range of channel values that a plot covers.
type scale struct{ low, high sim.PulseWidth }

// scaleOf covers the usual 1000 to 2000 µs and whatever the channel did beyond.
func scaleOf(channel *sim.Trace) scale {
	s := scale{1000, 2000}
	for _, bin := range channel.Bins() {
		if !bin.Absent() {
			s.low, s.high = min(s.low, bin.Low), max(s.high, bin.High)
		}
	}
	return s
}

// share returns where a value lies in the scale, 0 to 1 within it.
func (s scale) share(v sim.PulseWidth) float64 { return float64((v - s.low) / (s.high - s.low)) }
