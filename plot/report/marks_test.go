package report

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

func TestFewMarksAreAllDrawn(t *testing.T) {
	var marks []mark
	for i := range sim.Micros(maxMarks) {
		marks = append(marks, mark{Span: sim.Span{From: 2 * i, To: 2*i + 1}})
	}
	thinned, joined := thin(marks, 1_000_000)
	require.False(t, joined)
	require.Equal(t, marks, thinned)
}

// However many marks there are, few are drawn, in order and without overlap;
// none is lost, and none that is long enough to see is joined.
func TestThinnedMarksStandForAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lengths := rapid.SliceOfN(rapid.IntRange(0, 40), maxMarks, 12*maxMarks).Draw(t, "lengths and gaps")
		var marks []mark
		at, long := sim.Micros(0), sim.Micros(rapid.IntRange(1, 400).Draw(t, "long"))
		for i, length := range lengths {
			span := sim.Span{From: at, To: at + sim.Micros(length)}
			if length == 0 {
				span.To += long * 100
			}
			marks = append(marks, mark{Span: span, Title: fmt.Sprint(i)})
			at = span.To + sim.Micros(length%7)*long
		}
		end := at

		thinned, joined := thin(marks, end)
		if !joined {
			require.Equal(t, marks, thinned)
			return
		}
		require.LessOrEqual(t, len(thinned), 2*maxMarks)
		next := 0
		for i, m := range thinned {
			if i > 0 {
				require.GreaterOrEqual(t, m.From, thinned[i-1].To)
			}
			stands := 1
			if m.Class == classDense {
				_, err := fmt.Sscanf(m.Title, "%d marks", &stands)
				require.NoError(t, err)
			}
			require.Equal(t, marks[next].From, m.From)
			for _, one := range marks[next : next+stands] {
				require.True(t, stands == 1 || one.Length() <= end/maxMarks, "a long mark was joined")
			}
			next += stands
			require.Equal(t, marks[next-1].To, m.To)
		}
		require.Len(t, marks, next)
	})
}

func TestFindingKeys(t *testing.T) {
	for i, want := range map[int]string{0: "a", 25: "z", 26: "aa", 27: "ab", 51: "az", 52: "ba", 701: "zz", 702: "aaa"} {
		require.Equal(t, want, findingKey(i))
	}
}

// The trace keeps its extremes and its holes when it is joined.
func TestTraceRunsAreFewAndKeepTheExtremes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.IntRange(0, 5), maxRuns, 2*maxRuns+500).Draw(t, "values")
		var bins []sim.TraceBin
		for i, v := range values {
			bin := sim.TraceBin{
				Span: sim.Span{From: sim.Micros(i), To: sim.Micros(i + 1)},
				Low:  sim.PulseWidth(1000 + 100*v), High: sim.PulseWidth(1050 + 100*v),
			}
			if v == 0 {
				bin.Low, bin.High = sim.Absent, sim.Absent
			}
			bins = append(bins, bin)
		}
		runs := traceRuns(bins)
		require.LessOrEqual(t, len(runs), maxRuns)
		require.Equal(t, bins[0].From, runs[0].From)
		require.Equal(t, bins[len(bins)-1].To, runs[len(runs)-1].To)
		at := 0
		for _, bin := range bins {
			for bin.From >= runs[at].To {
				require.Equal(t, runs[at].To, runs[at+1].From)
				at++
			}
			if !bin.Absent() {
				require.LessOrEqual(t, runs[at].Low, bin.Low)
				require.GreaterOrEqual(t, runs[at].High, bin.High)
			}
		}
	})
}

func TestGaugeShowsWhereAHoldFell(t *testing.T) {
	window := sim.Window{MinPress: 80 * sim.Millisecond, LongPress: 1500 * sim.Millisecond}
	press := func(hold sim.Micros) sim.Press { return sim.Press{Up: hold} }
	at := func(hold sim.Micros) float64 {
		var x float64
		_, err := fmt.Sscan(newGauge(window, press(hold)).HoldX, &x)
		require.NoError(t, err)
		return x
	}
	g := newGauge(window, press(80*sim.Millisecond))
	require.True(t, g.Inside, "M7: a hold of exactly min_press reaches it")
	require.Equal(t, g.WindowX, g.HoldX)
	require.False(t, newGauge(window, press(1500*sim.Millisecond)).Inside, "M7: a hold of exactly long_press is long")
	require.Empty(t, newGauge(window, sim.Press{Up: sim.Never}).HoldX)
	require.Less(t, at(40*sim.Millisecond), at(80*sim.Millisecond))
	require.InDelta(t, at(200*sim.Millisecond)-at(100*sim.Millisecond), at(400*sim.Millisecond)-at(200*sim.Millisecond), 0.02,
		"equal ratios are equally far apart")
	require.Equal(t, float64(gaugeWidth), at(sim.Hour))
	require.Zero(t, at(0))
}
