package sim

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func traceOf(trace *Trace, samples ...Sample) *Trace {
	for _, s := range samples {
		trace.Feed(s)
	}
	return trace
}

func at(at Micros, v PulseWidth) Sample { return Sample{At: at, Channel: v, Armed: Absent} }

func TestTraceHoldsAValueUntilTheNextSampleM1(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{0, 40}, 4), at(0, 1000), at(15, 2000), at(35, 1500))
	require.Equal(t, []TraceBin{
		{Span{0, 10}, 1000, 1000},
		{Span{10, 20}, 1000, 2000}, // held until 15
		{Span{20, 30}, 2000, 2000}, // no sample of its own
		{Span{30, 40}, 1500, 2000},
	}, trace.Bins())
}

func TestTraceGivesAValueToItsInstantOnlyFromThereOnM0(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{0, 20}, 2), at(0, 1000), at(10, 2000))
	require.Equal(t, []TraceBin{{Span{0, 10}, 1000, 1000}, {Span{10, 20}, 2000, 2000}}, trace.Bins())
}

func TestTraceTakesTheLastOfEqualTimesM1(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{0, 20}, 2), at(0, 1000), at(5, 2000), at(5, 1100), at(19, 1100))
	require.Equal(t, PulseWidth(1100), trace.Bins()[0].High)
}

func TestTraceIsAbsentWhereTheSignalIsLostM2(t *testing.T) {
	rig := DefaultRig()
	rig.SignalLoss.StaleAfter = 20
	nan := Absent
	trace := traceOf(NewTraceWithin(TapChannel, rig, Span{0, 80}, 8), at(0, nan), at(10, 1000), at(20, nan), at(40, nan), at(65, 1200), at(79, 3000))
	var absent []bool
	for _, bin := range trace.Bins() {
		absent = append(absent, bin.Absent())
	}
	// valid at 10, lost from 30 on, back at 65; 3000 µs is no valid value.
	require.Equal(t, []bool{true, false, false, true, true, true, false, false}, absent)
}

func TestTraceOfAPartKnowsWhatIsHeldAtItsStart(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{100, 120}, 2), at(0, 1300), at(110, 1400), at(500, 2000))
	require.Equal(t, []TraceBin{{Span{100, 110}, 1300, 1300}, {Span{110, 120}, 1400, 1400}}, trace.Bins())
}

func TestTraceKeepsItsBinsBoundedHoweverLongTheLog(t *testing.T) {
	trace := NewTrace(TapChannel, DefaultRig(), 64)
	for i := range Micros(100_000) {
		trace.Feed(at(i*250, 1000+PulseWidth(i%7)))
	}
	bins := trace.Bins()
	require.LessOrEqual(t, len(bins), 64)
	require.Greater(t, len(bins), 32, "doubling leaves more than half of the bins in use")
	require.Equal(t, PulseWidth(1000), bins[3].Low)
	require.Equal(t, PulseWidth(1006), bins[3].High)
}

func TestTraceWithoutAValidSampleIsAbsent(t *testing.T) {
	require.Empty(t, NewTraceWithin(TapChannel, DefaultRig(), Span{50, 60}, 3).Bins())
	trace := traceOf(NewTrace(TapChannel, DefaultRig(), 8), at(0, Absent), at(3, Absent))
	for _, bin := range trace.Bins() {
		require.True(t, bin.Absent())
	}
	require.Len(t, trace.Range(0, 4, 9), 4, "no column is narrower than a microsecond")
}

func TestTraceCanBeReadWhileItGrows(t *testing.T) {
	read, unread := NewTrace(TapChannel, DefaultRig(), 16), NewTrace(TapChannel, DefaultRig(), 16)
	for i := range Micros(300) {
		s := at(i*i, 1000+PulseWidth(i))
		read.Feed(s)
		unread.Feed(s)
		read.Bins()
		read.Range(0, i+1, 7)
	}
	require.Equal(t, unread.Bins(), read.Bins())
}

func TestTraceOfAWireHoldsUntilAnAbsentSampleHoweverLong(t *testing.T) {
	trace := NewTraceWithin(TapWire, DefaultRig(), Span{0, 40 * Second}, 4)
	traceOf(trace, at(0, LevelHigh), at(15*Second, Absent), at(35*Second, LevelLow), at(40*Second, LevelLow))
	var highs []PulseWidth
	for _, bin := range trace.Bins() {
		highs = append(highs, bin.High)
	}
	require.Equal(t, []PulseWidth{LevelHigh, LevelHigh}, highs[:2])
	require.True(t, trace.Bins()[2].Absent(), "no signal from 15 s to 35 s")
	require.Equal(t, LevelLow, highs[3])
}

// value returns the value of the channel at a moment, sample by sample, to compare
// the trace with.
func value(rig Rig, samples []Sample, moment Micros) PulseWidth {
	held, since := Absent, Micros(0)
	for _, s := range samples {
		if s.At <= moment && rig.Switch.IsValid(s.Channel) {
			held, since = s.Channel, s.At
		}
	}
	if moment >= since+rig.SignalLoss.StaleAfter {
		return Absent
	}
	return held
}

func TestTraceIsTheRangeOfEveryMicrosecond(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := DefaultRig()
		rig.SignalLoss.StaleAfter = Micros(rapid.IntRange(1, 60).Draw(t, "stale"))
		var samples []Sample
		var now Micros
		for range rapid.IntRange(1, 25).Draw(t, "samples") {
			now += Micros(rapid.IntRange(0, 40).Draw(t, "step"))
			v := rapid.SampledFrom([]PulseWidth{1000, 1200, 1500, 2000, Absent, 65535}).Draw(t, "value")
			samples = append(samples, at(now, v))
		}
		from := Micros(rapid.IntRange(0, 100).Draw(t, "from"))
		window := Span{from, from + Micros(rapid.IntRange(1, 400).Draw(t, "length"))}
		bins := rapid.IntRange(2, 12).Draw(t, "bins")

		for _, trace := range []*Trace{NewTrace(TapChannel, rig, bins), NewTraceWithin(TapChannel, rig, window, bins)} {
			all := traceOf(trace, samples...).Bins()
			require.LessOrEqual(t, len(all), bins)
			for _, bin := range all {
				want := emptyRange
				for m := bin.From; m < min(bin.To, now+1); m++ {
					if v := value(rig, samples, m); !math.IsNaN(float64(v)) {
						want.widen(v)
					}
				}
				require.Equal(t, want.low > want.high, bin.Absent(), "bin %v", bin)
				if !bin.Absent() {
					require.Equal(t, want, valueRange{bin.Low, bin.High}, "bin %v", bin)
				}
			}
		}
	})
}

// The open bin is that of the current value: most samples fall into it and need no
// search for their bin.
func TestTraceKeepsTheBinOfTheValueInForceOpen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		samples := drawSamples(t)
		part := Span{Micros(rapid.IntRange(0, 60).Draw(t, "from")), 200}
		bins := rapid.IntRange(2, 12).Draw(t, "bins")
		for _, trace := range []*Trace{NewTrace(TapChannel, DefaultRig(), bins), NewTraceWithin(TapChannel, DefaultRig(), part, bins)} {
			for _, s := range samples {
				trace.Feed(s)
				if trace.heldAt == 0 || !trace.window.Contains(trace.heldAt) {
					require.Zero(t, trace.binEnd)
					continue
				}
				bin := (trace.heldAt - trace.window.From) / trace.width
				require.Same(t, &trace.bins[bin], trace.open)
				require.Equal(t, min(trace.window.From+(bin+1)*trace.width, trace.window.To), trace.binEnd)
			}
		}
	})
}

func TestTraceOfAPartMayBeOneBin(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{5, 15}, 1), at(0, 1000), at(9, 2000), at(20, 1000))
	require.Equal(t, []TraceBin{{Span{5, 15}, 1000, 2000}}, trace.Bins())
}

func TestTraceOfAPartThatIsNoneIsRefused(t *testing.T) {
	for _, c := range []struct {
		part Span
		bins int
	}{{Span{5, 15}, 0}, {Span{5, 5}, 1}, {Span{-1, 5}, 1}} {
		require.PanicsWithValue(t, fmt.Sprintf("internal error: a trace of %d bins from %d to %d µs", c.bins, c.part.From, c.part.To),
			func() { NewTraceWithin(TapChannel, DefaultRig(), c.part, c.bins) })
	}
}

// The last bin of a part may extend beyond it; values held there do not count.
func TestTraceOfAPartEndsWithIt(t *testing.T) {
	trace := NewTraceWithin(TapChannel, DefaultRig(), Span{0, 9}, 2) // bins of 5 µs
	traceOf(trace, at(0, 1000), at(6, 1000), at(9, 2000), at(10, 1000))
	require.Equal(t, TraceBin{Span{5, 9}, 1000, 1000}, trace.Bins()[1])
}

// Each column shows the bins that start in it; the first, and columns narrower
// than a bin, also show the bin in which they start.
func TestTraceRangeShowsTheBinsOfEachColumn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		window := Span{Micros(rapid.IntRange(0, 50).Draw(t, "window")), 400}
		trace := NewTraceWithin(TapChannel, DefaultRig(), window, rapid.IntRange(1, 40).Draw(t, "bins"))
		for now := Micros(0); now < 400; now += Micros(rapid.IntRange(1, 60).Draw(t, "step")) {
			trace.Feed(at(now, PulseWidth(rapid.IntRange(1000, 2000).Draw(t, "value"))))
		}
		from := Micros(rapid.IntRange(0, 300).Draw(t, "from"))
		to := from + Micros(rapid.IntRange(1, 200).Draw(t, "length"))
		count := rapid.IntRange(1, 60).Draw(t, "columns")
		if rapid.Bool().Draw(t, "aligned") { // columns start where bins do
			from = window.From + trace.Width()*Micros(rapid.IntRange(0, 5).Draw(t, "first bin"))
			to = from + trace.Width()*Micros(count*rapid.IntRange(1, 3).Draw(t, "bins of a column"))
		}
		columns := trace.Range(from, to, count)
		require.Len(t, columns, min(count, int(to-from)))
		narrow := (to-from)/Micros(len(columns)) < trace.Width()

		all := emptyRange
		for _, bin := range trace.Bins() {
			if !bin.Absent() {
				all.join(valueRange{bin.Low, bin.High})
			}
		}
		low, high := trace.Extremes()
		require.Equal(t, all.low > all.high, math.IsNaN(float64(low)))
		if all.low <= all.high {
			require.Equal(t, all, valueRange{low, high})
		}

		next := from
		for i, column := range columns {
			require.Equal(t, next, column.From)
			next = column.To
			want := emptyRange
			for _, bin := range trace.Bins() {
				begins := column.Contains(bin.From)
				reaches := (i == 0 || narrow) && bin.From < column.From && bin.From+trace.Width() > column.From
				if (begins || reaches) && !bin.Absent() {
					want.join(valueRange{bin.Low, bin.High})
				}
			}
			require.Equal(t, want.low > want.high, column.Absent(), "column %d", i)
			if !column.Absent() {
				require.Equal(t, want, valueRange{column.Low, column.High}, "column %d", i)
			}
		}
		require.Equal(t, to, next)
	})
}

func TestTraceRangeOfNothingIsRefused(t *testing.T) {
	trace := traceOf(NewTrace(TapChannel, DefaultRig(), 4), at(0, 1000), at(9, 1000))
	for _, c := range []struct {
		from, to Micros
		columns  int
	}{{5, 5, 1}, {6, 5, 1}, {0, 5, 0}} {
		require.PanicsWithValue(t, fmt.Sprintf("internal error: %d columns from %d to %d µs", c.columns, c.from, c.to),
			func() { trace.Range(c.from, c.to, c.columns) })
	}
}

func TestTraceRangeJoinsAllBinsOfAColumn(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{0, 40}, 40), at(0, 1000), at(12, 1900), at(13, 1000), at(39, 1000))
	columns := trace.Range(0, 40, 4)
	require.Equal(t, TraceBin{Span{10, 20}, 1000, 1900}, columns[1])
	require.Equal(t, TraceBin{Span{20, 30}, 1000, 1000}, columns[2])
	require.True(t, trace.Range(40, 80, 1)[0].Absent(), "nothing is drawn past the log's end")
}

func TestTraceRangeShowsAnEdgeInOneColumn(t *testing.T) {
	trace := NewTraceWithin(TapChannel, DefaultRig(), Span{0, 100}, 14) // bins of 8 µs
	traceOf(trace, at(0, 1000), at(50, 2000), at(99, 2000))
	edges := 0
	for _, column := range trace.Range(0, 100, 10) { // 48 to 56 reaches over 50
		if column.Low != column.High {
			edges++
		}
		require.False(t, column.Absent())
	}
	require.Equal(t, 1, edges)
}

func TestTraceRangeAsWideAsTheBinsShowsAnEdgeInOneColumn(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{0, 100}, 10), at(0, 1000), at(52, 2000), at(99, 2000))
	var edges []Span
	for _, column := range trace.Range(5, 95, 9) { // columns of 10 µs, halfway between the bins
		if column.Low != column.High {
			edges = append(edges, column.Span)
		}
	}
	require.Equal(t, []Span{{45, 55}}, edges, "the column in which the bin from 50 to 60 begins")
}

func TestTraceRangeNarrowerThanTheBinsShowsThemAgain(t *testing.T) {
	trace := traceOf(NewTraceWithin(TapChannel, DefaultRig(), Span{0, 100}, 2), at(0, 1000), at(60, 2000), at(99, 2000))
	columns := trace.Range(45, 55, 4)
	require.Equal(t, PulseWidth(1000), columns[1].High)
	require.Equal(t, TraceBin{Span{50, 52}, 1000, 2000}, columns[2])
	require.Equal(t, TraceBin{Span{52, 55}, 1000, 2000}, columns[3])
}

func BenchmarkTrace(b *testing.B) {
	trace := NewTrace(TapChannel, DefaultRig(), 4096)
	var now Micros
	for b.Loop() {
		now += 250
		trace.Feed(Sample{At: now, Channel: 1000 + PulseWidth(now&1023)})
	}
}
