package flight

import (
	"errors"
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/tell"
)

// script is a source that yields blocks, and counts how often it was read.
type script struct {
	blocks []sim.Block
	fails  error // after the blocks; nil is the end of the log
	asked  int
}

func (s *script) Tap() sim.Tap            { return sim.TapChannel }
func (s *script) Rig(rig sim.Rig) sim.Rig { return rig }
func (s *script) Reading() sim.Reading {
	return sim.Reading{Facts: []string{"a script"}, SkippedLines: 3}
}

func (s *script) Next() (sim.Block, error) {
	if s.asked == len(s.blocks) {
		if s.fails != nil {
			return sim.Block{}, s.fails
		}
		return sim.Block{}, io.EOF
	}
	s.asked++
	return s.blocks[s.asked-1], nil
}

// flicks samples presses of so many holds, one every 5 s, every 10 ms.
func flicks(segment int, holds ...sim.Micros) sim.Block {
	b := sim.Block{Segment: segment}
	for at := sim.Micros(0); at < sim.Micros(len(holds)+1)*5*sim.Second; at += 10 * sim.Millisecond {
		value := sim.PulseWidth(1000)
		if n := int(at / (5 * sim.Second)); n > 0 && at%(5*sim.Second) < holds[n-1] {
			value = 2000
		}
		b.Samples = append(b.Samples, sim.Sample{At: at, Channel: value, Armed: sim.Absent})
	}
	return b
}

const ms = sim.Millisecond

func TestEverySegmentIsAFlight(t *testing.T) {
	src := &script{blocks: []sim.Block{flicks(1, 300*ms, 300*ms), flicks(2, 300*ms)}}
	flights, err := Read(src, "folder/lake.csv", sim.DefaultRig(), Options{TraceBins: 64})
	require.NoError(t, err)
	require.Len(t, flights, 2)
	for i, presses := range []int{2, 1} {
		f := &flights[i]
		require.Len(t, f.Replay.Presses, presses)
		require.Equal(t, i+1, f.Segment)
		require.Equal(t, 2, f.Segments)
		require.Equal(t, int64(3), f.Reading.SkippedLines)
		require.Equal(t, fmt.Sprintf("lake.csv, segment %d of 2", i+1), f.Name())
		require.Equal(t, fmt.Sprintf("folder/lake.csv (segment %d of 2)", i+1), f.Log())
		require.Equal(t, sim.PulseWidth(2000), f.Trace.Range(0, f.Replay.End, 1)[0].High)
	}
	require.Empty(t, flights[0].KnownLines(), "nothing is known before Judge")
	require.Empty(t, flights[0].ClipRows())

	one := Flight{File: "-", Segments: 1, Segment: 1}
	require.Equal(t, "standard input", one.Name())
	one.Label = "A"
	require.Equal(t, "A", one.Name())
}

// A log is read once for any number of rigs, and each gets what it would get alone.
func TestOnePassServesEveryRig(t *testing.T) {
	slow := sim.DefaultRig()
	slow.Switch.Settle = 400 * ms
	wide := sim.DefaultRig()
	wide.Camera.MinPress = sim.Exactly(10 * ms)
	rigs := []sim.Rig{sim.DefaultRig(), slow, wide}
	blocks := func() []sim.Block { return []sim.Block{flicks(1, 300*ms, 50*ms, 600*ms), flicks(2, 20*ms)} }

	src := &script{blocks: blocks()}
	together, err := ReadWith(src, "lake.csv", rigs, Options{})
	require.NoError(t, err)
	require.Equal(t, len(src.blocks), src.asked)
	for i, rig := range rigs {
		alone, err := Read(&script{blocks: blocks()}, "lake.csv", rig, Options{})
		require.NoError(t, err)
		require.Equal(t, alone, together[i])
	}
	require.NotEqual(t, together[0][0].Replay.Takes, together[1][0].Replay.Takes)
	require.NotEqual(t, together[0][1].Replay.Toggles, together[2][1].Replay.Toggles)
}

func TestTheErrorOfTheSourceIsHandedOn(t *testing.T) {
	torn := errors.New("the card is gone")
	_, err := Read(&script{blocks: []sim.Block{flicks(1, 300*ms)}, fails: torn}, "lake.csv", sim.DefaultRig(), Options{})
	require.ErrorIs(t, err, torn)

	none, err := Read(&script{}, "lake.csv", sim.DefaultRig(), Options{})
	require.NoError(t, err)
	require.Empty(t, none)
}

func TestALogThatNoHandMadeIsRefused(t *testing.T) {
	for name, test := range map[string]struct {
		blocks []sim.Block
		says   string
	}{
		"segments": {segments(mostSegments + 1), "lake.csv: found more than 1000 segments"},
		"presses":  {[]sim.Block{rattle(mostPresses + 3)}, "lake.csv: found more than 50000 presses"},
	} {
		_, err := Read(&script{blocks: test.blocks}, "lake.csv", sim.DefaultRig(), Options{})
		require.ErrorContains(t, err, test.says, name)
		require.ErrorContains(t, err, "want a log of a switch that a hand moves", name)
	}
	_, err := Read(&script{blocks: segments(mostSegments)}, "lake.csv", sim.DefaultRig(), Options{TraceBins: 1 << 20})
	require.NoError(t, err)
}

func segments(n int) []sim.Block {
	blocks := make([]sim.Block, n)
	for i := range blocks {
		blocks[i] = sim.Block{Segment: i + 1, Samples: []sim.Sample{{Channel: 1000, Armed: sim.Absent}}}
	}
	return blocks
}

// rattle presses n times.
func rattle(n int) sim.Block {
	b := sim.Block{Segment: 1}
	for i := range 2 * n {
		b.Samples = append(b.Samples, sim.Sample{At: sim.Micros(i) * 200 * ms, Channel: sim.PulseWidth(1000 + i%2*1000), Armed: sim.Absent})
	}
	return b
}

func TestLogsOfOneNameAreNamedWithTheirFolders(t *testing.T) {
	flights := []Flight{{File: "lake/start/1.csv"}, {File: "lake/finish/1.csv"}, {File: "lake/start/2.csv"}, {File: "-"}, {File: "lake/start/1.csv"}}
	require.Equal(t, []string{"start/1.csv", "finish/1.csv", "2.csv", "standard input", "start/1.csv"}, FileNames(flights))
}

// The memory of the traces of many segments is bounded: a later segment gets fewer
// bins, but never fewer than a picture needs.
func TestTraceBinsAreSharedOut(t *testing.T) {
	require.Equal(t, 1<<18, traceBinsOf(1, 1<<18))
	require.Equal(t, 1<<17, traceBinsOf(2, 1<<18))
	require.Equal(t, 1<<12, traceBinsOf(1000, 1<<18))
	require.Equal(t, 100, traceBinsOf(7, 100))
}

func TestJudgeTakesTheLikeliestCourse(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	flights, err := Read(&script{blocks: []sim.Block{flicks(1, 300*ms, 70*ms)}}, "lake.csv", rig, Options{})
	require.NoError(t, err)
	require.NoError(t, Judge(flights, tell.DefaultLimits(), belief.Observations{}))
	f := &flights[0]
	require.Same(t, f.Known.Replay, f.Replay)
	require.True(t, f.Replay.Presses[1].Doubtful)
	require.NotEmpty(t, f.KnownLines())
	require.IsIncreasing(t, append([]sim.Micros{-1}, times(f.Findings)...), "findings are in order of time")

	seen := belief.Observations{ClipError: sim.Second, Clips: []belief.Clip{{Name: "LAKE1", Length: 5 * sim.Second}}}
	require.NoError(t, Judge(flights, tell.DefaultLimits(), seen))
	require.Equal(t, "LAKE1", f.ClipRows()[0].Name)
}

func times(findings []tell.Finding) []sim.Micros {
	var at []sim.Micros
	for _, f := range findings {
		if len(at) == 0 || at[len(at)-1] != f.At {
			at = append(at, f.At)
		}
	}
	return at
}

// A log may say that a take runs at the start of a segment, whatever the rig says;
// the next segment starts as the rig says.
func TestALogTellsTheStartOfASegment(t *testing.T) {
	first, second := flicks(1, 300*ms), flicks(2, 300*ms)
	first.Start = sim.StartRecording
	flights, err := Read(&script{blocks: []sim.Block{first, second}}, "cut.csv", sim.DefaultRig(), Options{})
	require.NoError(t, err)
	require.Equal(t, sim.StateRecording, flights[0].Replay.States[0].State)
	require.Equal(t, sim.StateStandby, flights[1].Replay.States[0].State)
	require.Equal(t, 1, len(flights[0].Replay.Takes), "the flick ended it")
}
