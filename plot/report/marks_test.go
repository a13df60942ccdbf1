package report

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

func TestFewMarksAreAllDrawn(t *testing.T) {
	var spans []sim.Span
	for i := range sim.Micros(maxMarks) {
		spans = append(spans, sim.Span{From: 2 * i, To: 2*i + 1})
	}
	require.Len(t, thin(spans, 1_000_000), maxMarks)
	require.Less(t, len(thin(append(spans, sim.Span{From: 900_000, To: 1_000_000}), 1_000_000)), maxMarks)
}

// However many marks there are, few are drawn; none is lost, and none that is
// long enough to see is joined.
func TestThinnedMarksStandForAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lengths := rapid.SliceOfN(rapid.IntRange(0, 40), maxMarks+1, 3*maxMarks).Draw(t, "lengths and gaps")
		var spans []sim.Span
		end, long := sim.Micros(0), sim.Micros(rapid.IntRange(1, 400).Draw(t, "long"))
		for _, length := range lengths {
			span := sim.Span{From: end, To: end + sim.Micros(length)}
			if length == 0 {
				span.To += long * 100
			}
			spans = append(spans, span)
			end = span.To + sim.Micros(length%7)*long
		}

		groups := thin(spans, end)
		require.LessOrEqual(t, len(groups), 2*maxMarks)
		next := 0
		for _, g := range groups {
			if g.first != next || g.past <= g.first {
				t.Fatalf("group %v after span %d", g, next)
			}
			for _, s := range spans[g.first:g.past] {
				if g.past > g.first+1 && s.Length() > end/maxMarks {
					t.Fatalf("%v was joined", s)
				}
			}
			next = g.past
		}
		require.Len(t, spans, next)
	})
}

func TestADenseMarkTellsWhatItStandsFor(t *testing.T) {
	spans := []sim.Span{{From: 1000, To: 2000}, {From: 4000, To: 6000}}
	m := dense(spans)
	require.Equal(t, sim.Span{From: 1000, To: 6000}, m.Span)
	require.InDelta(t, 0.6, m.Cover, 1e-9)
	require.Equal(t, "2 marks 0:00.001 to 0:00.006 (5ms), covering 60 % of it", m.Title)
	top, height := shape(m, 20)
	require.Equal(t, [2]int{8, 12}, [2]int{top, height}, "as high as it is covered")
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
				at++
				if runs[at].From != runs[at-1].To {
					t.Fatalf("a hole after %d", runs[at-1].To)
				}
			}
			if !bin.Absent() && !(runs[at].Low <= bin.Low && runs[at].High >= bin.High) {
				t.Fatalf("run %v hides %v", runs[at], bin)
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
