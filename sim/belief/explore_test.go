package belief

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// contains reports whether a point of the grid lies in the region.
func (r region) contains(w sim.Window) bool {
	in := func(i sim.Interval, at sim.Micros) bool { return at >= i.Low*gridSteps && at <= i.High*gridSteps }
	return in(r.min, w.MinPress) && in(r.long, w.LongPress) && in(r.diff, w.LongPress-w.MinPress)
}

// TestCellsHoldEverywhere (M9): the cells cover what is not known, and at every
// point of a cell the camera does what the cell says, to the moment.
func TestCellsHoldEverywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		replay := drawReplay(t)
		u := newUnknowns(replay)
		var cells []*cell
		area := 0.0
		require.NoError(t, u.explore(func(c *cell) {
			require.False(t, c.region.empty())
			cells = append(cells, c)
			area += c.region.area()
		}))
		require.Equal(t, u.rectangle.area()*float64(len(u.starts)), area)
		eachOnGrid(replay, func(start sim.StartState, w sim.Window, record *sim.Record, _ float64) {
			homes := 0
			for _, c := range cells {
				if c.start == start && c.region.contains(w) {
					requireSame(t, c, w, record)
					homes++
				}
			}
			require.Equal(t, 1, homes, "cells of %v", w)
		})
	})
}

// requireSame holds a cell to what the camera did at one of its points.
func requireSame(t *rapid.T, c *cell, w sim.Window, record *sim.Record) {
	at := func(m moment) sim.Micros { return moment{m.base * gridSteps, m.axis}.at(w) }
	require.Len(t, c.states, len(record.States), "states at %v", w)
	for i, s := range c.states {
		require.Equal(t, record.States[i], sim.StateChange{At: at(s.at), State: s.state})
	}
	require.Len(t, c.takes, len(record.Takes))
	for i, k := range c.takes {
		require.Equal(t, record.Takes[i].Start, at(k.start))
		require.Equal(t, record.Takes[i].End, at(k.end))
	}
	for i, v := range c.verdicts {
		require.Equal(t, record.Presses[i].Verdict, v)
	}
}

// TestCellsGrowWithHoldsInRange: the number of cells is that of the holds in
// range, whatever other presses there are (M9: finitely many cells).
func TestCellsGrowWithHoldsInRange(t *testing.T) {
	for _, presses := range []int{10, 100, 400} {
		replay := flightOf(presses, func(i int) sim.Micros { return sim.Micros(30_000 + 1000*i) })
		replay.Rig.Camera.MinPress = sim.Interval{Low: 0, High: sim.Second}
		replay.Rig.Camera.LongPress = sim.Interval{Low: 1200 * sim.Millisecond, High: 2 * sim.Second}
		u := newUnknowns(replay)
		count := 0
		require.NoError(t, u.explore(func(*cell) { count++ }))
		require.Equal(t, presses+1, count)
	}
}

// flightOf makes a flight of presses 5 s apart.
func flightOf(presses int, hold func(int) sim.Micros) *sim.Replay {
	r := &sim.Replay{Rig: sure(), End: sim.Micros(presses+1) * 5 * sim.Second}
	for i := range presses {
		down := sim.Micros(i+1) * 5 * sim.Second
		r.Lanes.Wire.Edges = append(r.Lanes.Wire.Edges, sim.Edge{At: down, Pressed: true}, sim.Edge{At: down + hold(i)})
	}
	return r
}

// TestTooManyCellsAreRefused: ranges with too many holds in them say so instead
// of running for hours.
func TestTooManyCellsAreRefused(t *testing.T) {
	replay := flightOf(20, func(i int) sim.Micros { return sim.Micros(30_000 + 1000*i) })
	replay.Rig.Camera.MinPress = sim.Interval{Low: 0, High: sim.Second}
	u := newUnknowns(replay)
	u.maxCells = 20
	err := u.explore(func(*cell) {})
	u.maxCells = 21
	require.NoError(t, u.explore(func(*cell) {}), "one more than there are holds")
	require.ErrorContains(t, err, "min_press 0s to 1s and long_press 1.5s leave more than 20 possible histories, want narrower ranges")
}

// BenchmarkExplore explores a flight of 200 presses, a third of them on the
// edge of one or the other threshold.
func BenchmarkExplore(b *testing.B) {
	replay := flightOf(200, func(i int) sim.Micros {
		return []sim.Micros{300, 300, 300, 300, 70, 1400}[i%6]*sim.Millisecond + sim.Micros(100*i)
	})
	replay.Rig.Camera.LongAction = sim.ActionNone
	replay.Rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	replay.Rig.Camera.LongPress = sim.Interval{Low: 1200 * sim.Millisecond, High: 1600 * sim.Millisecond}
	cells := 0
	for b.Loop() {
		u := newUnknowns(replay)
		if err := u.explore(func(*cell) { cells++ }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(cells)/b.Elapsed().Seconds(), "cells/s")
}
