package viewer

import "flicktally/sim"

// window is the visible stretch of a log, spread over columns of equal width:
// column c shows the moments from start(c) up to start(c+1).
type window struct {
	from, span sim.Micros
	columns    int
	end        sim.Micros // of the log
}

// start returns the first moment of a column.
func (w window) start(column int) sim.Micros {
	return w.from + w.span*sim.Micros(column)/sim.Micros(w.columns)
}

// column returns the column that shows a moment. It is outside 0 to columns-1 for
// one outside the window.
func (w window) column(at sim.Micros) int {
	column := int((at - w.from) * sim.Micros(w.columns) / w.span)
	for w.start(column+1) <= at {
		column++
	}
	for w.start(column) > at {
		column--
	}
	return column
}

// shows reports whether a moment is visible.
func (w window) shows(at sim.Micros) bool { return at >= w.from && at < w.from+w.span }

func (w window) visible() sim.Span {
	return sim.Span{From: max(0, w.from), To: min(w.from+w.span, w.end)}
}

func (w window) whole() window { return w.showing(sim.Span{From: 0, To: w.end + 1}) }

func (w window) showing(s sim.Span) window {
	w.from, w.span = s.From, s.Length()
	return w.bounded()
}

// bounded keeps the window within the log, and no narrower than a microsecond
// per column.
func (w window) bounded() window {
	w.span = max(min(w.span, w.end+1), sim.Micros(w.columns))
	w.from = max(0, min(w.from, w.end+1-w.span))
	return w
}

// zoomed returns the window with another span, in which a moment keeps its place
// on the screen.
func (w window) zoomed(span, about sim.Micros) window {
	left := float64(about-w.from) / float64(w.span)
	w.span = span
	w = w.bounded()
	w.from = about - sim.Micros(left*float64(w.span))
	return w.bounded()
}

// scrolled returns the window moved so that a moment is visible: just inside the
// edge if it is near, else in the middle.
func (w window) scrolled(to sim.Micros) window {
	margin := w.span / 8
	switch {
	case w.shows(to):
		return w
	case to < w.from && w.from-to <= w.span:
		w.from = to - margin
	case to >= w.from+w.span && to-w.from < 2*w.span:
		w.from = to + margin - w.span + 1
	default:
		w.from = to - w.span/2
	}
	return w.bounded()
}
