package belief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

func interval(low, high sim.Micros) sim.Interval { return sim.Interval{Low: low, High: high} }

// TestZoneGeometry: areas, middles and cumulative shares of a rectangle and of a
// right triangle, by elementary geometry.
func TestZoneGeometry(t *testing.T) {
	rectangle := newRegion(interval(10, 30), interval(100, 200))
	require.Equal(t, 2000.0, rectangle.area())
	require.Equal(t, interval(100-30, 200-10), rectangle.diff)
	require.Equal(t, 20.0, rectangle.centre(alongMin))
	require.Equal(t, []chord{{100, 200, 1}}, rectangle.chords(alongLong))

	// long − min ≥ 70 and min from 0 to 30, long from 70 to 100: the half above the diagonal.
	triangle := newRegion(interval(0, 30), interval(70, 100)).whereOrdered(moment{70, alongMin}, moment{0, alongLong})
	require.Equal(t, 450.0, triangle.area())
	require.InDelta(t, 10, triangle.centre(alongMin), 1e-12, "a third of the way")
	require.InDelta(t, 90, triangle.centre(alongLong), 1e-12)

	// long − min ≥ 50 cuts a triangle of 10 by 10 off a square of 30 by 30, with its
	// middle at 30 − 10/3.
	cut := newRegion(interval(0, 30), interval(70, 100)).whereOrdered(moment{50, alongMin}, moment{0, alongLong})
	require.Equal(t, 850.0, cut.area())
	require.InDelta(t, (900*15-50*(30-10./3))/850, cut.centre(alongMin), 1e-12)
	cumulative := 0.0
	for _, c := range triangle.chords(alongMin) {
		cumulative += c.share
		left := 1 - float64(c.to)/30
		require.InDelta(t, 1-left*left, cumulative, 1e-12)
	}
}

// TestZoneCutsKeepBoundsTight: after any cuts, every bound is reached by some
// point of the zone, an empty region has no points, and the area is that of the
// triangles of the grid in it.
func TestZoneCutsKeepBoundsTight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		full := newRegion(interval(0, 6), interval(8, 15))
		r := full
		type cut struct{ a, b moment }
		var cuts []cut
		for range rapid.IntRange(0, 5).Draw(t, "cuts") {
			draw := func(name string) moment {
				return moment{sim.Micros(rapid.IntRange(-9, 15).Draw(t, name)), rapid.SampledFrom([]axis{fixed, alongMin, alongLong}).Draw(t, name+" along")}
			}
			c := cut{draw("a"), draw("b")}
			cuts = append(cuts, c)
			if !r.empty() {
				r = r.whereOrdered(c.a, c.b)
			}
		}
		area, bounds := 0.0, region{}
		for least := sim.Micros(0); least < 6; least++ {
			for long := sim.Micros(8); long < 15; long++ {
				for _, third := range []sim.Micros{1, 2} { // the middles of the two triangles of a square
					w := sim.Window{MinPress: 3*least + third, LongPress: 3*long + 3 - third}
					inside := true
					for _, c := range cuts {
						at := func(m moment) sim.Micros { return moment{m.base * 3, m.axis}.at(w) }
						inside = inside && at(c.a) <= at(c.b)
					}
					if !inside {
						continue
					}
					corners := newRegion(interval(least, least+1), interval(long, long+1))
					corners.diff = interval(long-least+1-third, long-least+2-third)
					if area == 0 {
						bounds = corners
					}
					area += 0.5
					bounds = region{hull(bounds.min, corners.min), hull(bounds.long, corners.long), hull(bounds.diff, corners.diff)}
				}
			}
		}
		require.Equal(t, area == 0, r.empty())
		if area > 0 {
			require.Equal(t, area, r.area())
			require.Equal(t, bounds, r)
			require.InDelta(t, area, r.mirrored().area(), 1e-9)
		}
	})
}

// TestMiddleOfRectangles: the middle of a rectangle is that of its sides, rounded
// down to a whole µs as [sim.Interval.Middle] does.
func TestMiddleOfRectangles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := func(name string, from sim.Micros) sim.Interval {
			low := from + sim.Micros(rapid.IntRange(0, 3_000_000).Draw(t, name))
			return interval(low, low+2+sim.Micros(rapid.IntRange(0, 3_000_000).Draw(t, name+" width")))
		}
		minPress := side("min", 0)
		long := side("long", minPress.High)
		require.Equal(t, sim.Window{MinPress: minPress.Middle(), LongPress: long.Middle()}, middle(newRegion(minPress, long)))
	})
}

// TestChordsStayClose: cutting a curve short costs at most 0.0001.
func TestChordsStayClose(t *testing.T) {
	triangle := newRegion(interval(0, 30000), interval(70000, 100000)).whereOrdered(moment{70000, alongMin}, moment{0, alongLong})
	cumulative, worst := 0.0, 0.0
	for _, c := range triangle.chords(alongMin) {
		middle := float64(c.from+c.to) / 2
		left := 1 - middle/30000
		worst = max(worst, math.Abs(cumulative+c.share/2-(1-left*left)))
		cumulative += c.share
	}
	require.Less(t, worst, 0.0001)
	require.InDelta(t, 1, cumulative, 1e-12)
}
