package source

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// replays feeds a chain for each segment of a source.
func replays(t require.TestingT, src *Source, rig sim.Rig, each func(sim.Block)) []*sim.Replay {
	rig = src.Rig(rig)
	var all []*sim.Replay
	var chain *sim.Chain
	for segment := 0; ; {
		block, err := src.Next()
		if err == io.EOF {
			return append(all, chain.Finish())
		}
		require.NoError(t, err)
		each(block)
		if block.Segment > segment {
			if chain != nil {
				all = append(all, chain.Finish())
			}
			chain = sim.NewChain(src.Tap(), rig)
			segment = block.Segment
		}
		chain.FeedBlock(block)
	}
}

// recorded replays a live log while it is recorded.
func recorded(t require.TestingT, log string, rig sim.Rig, opts Options) (live []*sim.Replay, record string) {
	src, err := Open(strings.NewReader(log), "live", opts)
	require.NoError(t, err)
	var out bytes.Buffer
	heard := src.Rig(rig)
	recorder := NewRecorder(&out, src.Tap(), heard, src.LostAfter())
	live = replays(t, src, rig, func(b sim.Block) { require.NoError(t, recorder.Write(b)) })
	return live, out.String()
}

// requireSameReplays compares replays, except for where the log has its numbers.
func requireSameReplays(t require.TestingT, want []*sim.Replay, record string, rig sim.Rig) {
	for _, opts := range []Options{{Spec: rig.Log}, {Spec: rig.Log, Thin: sim.NewThinning(rig)}} {
		requireSame(t, want, strings.NewReader(record), rig, opts)
		requireSame(t, want, iotest.OneByteReader(strings.NewReader(record)), rig, opts)
	}
}

func requireSame(t require.TestingT, want []*sim.Replay, record io.Reader, rig sim.Rig, opts Options) {
	src, err := Open(record, "record", opts)
	require.NoError(t, err)
	got := replays(t, src, rig, func(sim.Block) {})
	require.Len(t, got, len(want))
	for i := range want {
		want[i].Rig.Log, got[i].Rig.Log = sim.LogSpec{}, sim.LogSpec{}
		require.Equal(t, want[i], got[i])
	}
}

// A record replays to the same as the live log, with the rig of the live log.
func TestARecordReplaysToTheSame(t *testing.T) {
	counts := sim.DefaultRig()
	counts.Log = sim.LogSpec{
		Time: "t [ms]", Unit: sim.UnitAuto, Channel: "#3", Scale: 0.625, Offset: 880,
		Armed: "mode", ArmedRange: []sim.PulseRange{{Low: 900, High: 1100}, {Low: 1900, High: 2100}},
	}
	const inCounts = "t [ms];mode;aux\n0;192;172\n500;1000;172\n600;1000;1811\n900;1000;172\n950;inf;172\n1800;;nan\n2500;1800;172\n"
	far := sim.DefaultRig() // neither level of a wire is near its range
	far.Switch.Press = []sim.PulseRange{{Low: 2100, High: 2250}}
	for _, tt := range []struct {
		name, log string
		rig       sim.Rig
		begins    string
	}{
		{"counts, milliseconds and an armed range", inCounts, counts, "# flicktally record: channel and armed\ntime_us,channel,armed\n0,987.5,1\n500000,987.5,0\n"},
		{"two columns", table, sim.DefaultRig(), "# flicktally record: channel\ntime_us,channel\n0,1000\n"},
		{"the level of the wire", capture, sim.DefaultRig(), "# flicktally record: wire\ntime_us,channel\n0,1000\n99999,1000\n100000,2000\n"},
		{"a wire that changes often", strings.Replace(capture, "#400000", "#150000 0! #200000 1! #250000 0! #300000 1! #400000", 1), far, "# flicktally record: wire\ntime_us,channel\n0,1000\n99999,1000\n100000,2000\n"},
		{"telemetry with its armed state", telemetry(t), func() sim.Rig {
			rig := sim.DefaultRig()
			rig.Log.Channel = "aux2"
			return rig
		}(), "# flicktally record: channel and armed\ntime_us,channel,armed\n0,2000,1\n"},
		{"a time that runs backwards", table + table + table, sim.DefaultRig(), "# flicktally record: channel\n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			live, record := recorded(t, tt.log, tt.rig, Options{Spec: tt.rig.Log, Wire: "shutter"})
			require.True(t, strings.HasPrefix(record, tt.begins), record)
			requireSameReplays(t, live, record, tt.rig)
			requireSameReplays(t, live, zip(t, record), tt.rig)
			requireSameReplays(t, live, strings.ReplaceAll(record, "\n", "\r\n"), tt.rig)
		})
	}
}

// The same for any samples, recorded anywhere.
func TestARecordKeepsEverySample(t *testing.T) {
	value := rapid.OneOf(rapid.SampledFrom([]sim.PulseWidth{1000, 2000, sim.Absent, sim.PulseWidth(math.Inf(1))}),
		rapid.Map(rapid.Float64Range(700, 2300), func(v float64) sim.PulseWidth { return sim.PulseWidth(v) }))
	// A segment may end where a counter of 32 bits would wrap.
	step := rapid.OneOf(rapid.Just(int64(0)), rapid.Int64Range(0, 1e6), rapid.Just(int64(1<<32-30e6)))
	rapid.Check(t, func(t *rapid.T) {
		rig := sim.DefaultRig()
		rig.Log.Armed = "arm"
		rig.Switch.Press = rapid.SampledFrom([][]sim.PulseRange{{{Low: 1250, High: 2250}}, {{Low: 1990, High: 2010}}, {{Low: 2100, High: 2250}}}).Draw(t, "press")
		tap := rapid.SampledFrom([]sim.Tap{sim.TapChannel, sim.TapOutput, sim.TapWire}).Draw(t, "tap")
		var live []*sim.Replay
		var out bytes.Buffer
		recorder := NewRecorder(&out, tap, rig, 0)
		for segment := range rapid.IntRange(1, 4).Draw(t, "segments") {
			chain := sim.NewChain(tap, rig)
			var samples []sim.Sample
			for at := int64(0); len(samples) == 0 || rapid.Bool().Draw(t, "more"); at += step.Draw(t, "step") {
				samples = append(samples, sim.Sample{At: sim.Micros(at), Channel: value.Draw(t, "value"), Armed: value.Draw(t, "armed")})
				chain.Feed(samples[len(samples)-1])
			}
			require.NoError(t, recorder.Write(sim.Block{Segment: segment + 1, Samples: samples}))
			live = append(live, chain.Finish())
		}
		requireSameReplays(t, live, out.String(), rig)
	})
}

func TestARecorderReturnsTheErrorOfTheStream(t *testing.T) {
	full := errors.New("no space left")
	in, out := io.Pipe()
	require.NoError(t, in.CloseWithError(full))
	recorder := NewRecorder(out, sim.TapChannel, sim.DefaultRig(), 0)
	require.ErrorIs(t, recorder.Write(sim.Block{Segment: 1, Samples: []sim.Sample{{}}}), full)
}

// A record of slow telemetry keeps when its signal counts as lost (M2), so that it
// replays to the same.
func TestARecordOfSlowTelemetry(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Log.Channel = "aux2"
	rig.SignalLoss.Then = sim.LossRelease
	opts := Options{Spec: rig.Log, Step: 400 * sim.Millisecond, System: 7}
	live, record := recorded(t, twoSystems(t), rig, opts)
	require.True(t, strings.HasPrefix(record, "# flicktally record: channel and armed, lost after 1.2s\ntime_us,channel,armed\n"), record)
	require.Empty(t, live[0].Lost)
	requireSameReplays(t, live, record, rig)

	src, err := Open(strings.NewReader(record), "record", Options{Spec: rig.Log})
	require.NoError(t, err)
	require.Equal(t, 1200*sim.Millisecond, src.Rig(rig).SignalLoss.StaleAfter)
	require.ErrorIs(t, drainSource(src), io.EOF)
	facts := src.Reading().Facts
	require.Equal(t, "the signal counts as lost after 1200 ms, three of its median steps of 400 ms (the rig says 500 ms)", facts[len(facts)-1])
	rig.SignalLoss.StaleAfter = 2 * sim.Second
	require.Equal(t, 2*sim.Second, src.Rig(rig).SignalLoss.StaleAfter)
	require.Zero(t, src.LostAfter())
}

// A log that only looks like a record is read as any other log.
func TestALogThatBeginsLikeARecord(t *testing.T) {
	for _, first := range []string{"# flicktally record: throttle\n", "# flicktally record: channel, armed\n", "# flicktally\n", "#\n",
		"# flicktally record: channel, lost after\n", "# flicktally record: channel, lost after soon\n", "# flicktally record: wire, lost after 1s\n",
		"# flicktally record: channel, lost after 0s\n", "# flicktally record: channel, lost after 1.2s and armed\n"} {
		_, src := replay(t, strings.NewReader(first+table))
		require.IsType(t, csvLog{}, src.reader, first)
	}
}
