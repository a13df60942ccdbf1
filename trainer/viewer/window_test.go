package viewer

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// anyWindow draws a window on a log of up to a thousand hours.
func anyWindow(t *rapid.T) window {
	end := sim.Micros(rapid.Int64Range(0, int64(sim.MaxDuration)).Draw(t, "end"))
	w := window{
		columns: rapid.IntRange(1, 500).Draw(t, "columns"), end: end,
		from: sim.Micros(rapid.Int64Range(0, int64(end)).Draw(t, "from")),
		span: sim.Micros(rapid.Int64Range(1, int64(end)+1).Draw(t, "span")),
	}
	return w.bounded()
}

func TestColumnsDivideTheWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWindow(t)
		require.Equal(t, w.from, w.start(0))
		require.Equal(t, w.from+w.span, w.start(w.columns))
		at := w.from + sim.Micros(rapid.Int64Range(0, int64(w.span)-1).Draw(t, "at"))
		column := w.column(at)
		require.True(t, column >= 0 && column < w.columns, "column %d of %d", column, w.columns)
		require.LessOrEqual(t, w.start(column), at)
		require.Greater(t, w.start(column+1), at)
	})
}

func TestAWindowStaysOnTheLog(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWindow(t)
		at := sim.Micros(rapid.Int64Range(0, int64(w.end)).Draw(t, "at"))
		for name, moved := range map[string]window{
			"bounded": w, "whole": w.whole(), "scrolled": w.scrolled(at),
			"zoomed in": w.zoomed(w.span/2, at), "zoomed out": w.zoomed(2*w.span, at),
		} {
			require.GreaterOrEqual(t, moved.from, sim.Micros(0), name)
			require.GreaterOrEqual(t, moved.span, sim.Micros(moved.columns), "%s: a column is never below a microsecond", name)
			if moved.span > sim.Micros(moved.columns) {
				require.LessOrEqual(t, moved.from+moved.span, moved.end+1, name)
			}
		}
		require.True(t, w.scrolled(at).shows(at))
		require.True(t, w.whole().shows(w.end))
	})
}

func TestZoomingKeepsTheMomentInPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWindow(t)
		at := w.from + sim.Micros(rapid.Int64Range(0, int64(w.span)-1).Draw(t, "at"))
		in := w.zoomed(w.span/2, at)
		require.True(t, in.shows(at))
		if in.span == w.span/2 && in.from > 0 && in.from+in.span <= in.end {
			require.InDelta(t, w.column(at), in.column(at), 1)
		}
	})
}

func TestScrollingMovesAsLittleAsNeeded(t *testing.T) {
	w := window{columns: 10, end: 10000, from: 1000, span: 800}
	for _, tt := range []struct {
		name string
		to   sim.Micros
		want sim.Micros
	}{
		{"visible: not at all", 1500, 1000},
		{"just behind: with a margin", 1900, 1900 + 100 - 800 + 1},
		{"just before: with a margin", 900, 800},
		{"far away: to the middle", 5000, 4600},
		{"never beyond the log", 10000, 10001 - 800},
	} {
		t.Run(tt.name, func(t *testing.T) { require.Equal(t, tt.want, w.scrolled(tt.to).from) })
	}
}
