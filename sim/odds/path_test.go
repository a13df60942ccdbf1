package odds

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// short durations make equal times and exact thresholds likely.
func drawShort(t *rapid.T, name string, low, high int) sim.Micros {
	return sim.Micros(rapid.OneOf(rapid.IntRange(low, low), rapid.IntRange(low, high)).Draw(t, name))
}

func drawRig(t *rapid.T) sim.Rig {
	r := sim.DefaultRig()
	r.Switch.Press = rapid.SampledFrom([][]sim.PulseRange{
		{{Low: 1250, High: 2250}}, {{Low: 1700, High: 2100}}, {{Low: 900, High: 1300}},
	}).Draw(t, "press")
	r.Switch.Settle = drawShort(t, "settle", 0, 30)
	r.Link.Frame = drawShort(t, "frame", 0, 20)
	r.Link.Loss = rapid.SampledFrom([]float64{0, 0.1, 0.6}).Draw(t, "loss")
	r.OneShot.Trigger = rapid.SampledFrom(sim.Triggers).Draw(t, "trigger")
	r.OneShot.Width = drawShort(t, "width", 1, 60)
	r.OneShot.Rest = drawShort(t, "rest", 0, 10)
	r.Line.Update = drawShort(t, "update", 0, 20)
	r.Line.Delay = drawShort(t, "delay", 0, 20)
	least := drawShort(t, "min_press", 0, 40)
	r.Camera.MinPress = sim.Exactly(least)
	r.Camera.LongPress = sim.Exactly(least + drawShort(t, "window", 1, 80))
	r.Camera.MinGap = drawShort(t, "min_gap", 0, 20)
	r.Camera.ToggleOn = rapid.SampledFrom(sim.ToggleEdges).Draw(t, "toggle_on")
	r.Camera.LongAction = rapid.SampledFrom(sim.LongActions).Draw(t, "long_action")
	r.Camera.LongFires = rapid.SampledFrom(sim.LongMoments).Draw(t, "long_fires")
	r.Camera.StartDelay = drawShort(t, "start_delay", 0, 40)
	return r
}

// scripted makes a link lose the frames it is told to, in order.
type scripted struct {
	lost []bool
	next int
}

func (s *scripted) Uint64() uint64 {
	lost := s.next < len(s.lost) && s.lost[s.next]
	s.next++
	if lost {
		return 0
	}
	return 1<<53 - 1
}

// play sends a flick through the real chain, its link losing just the frames
// that the flick says. It tells when the next refresh of the line came.
func play(rig sim.Rig, single bool, f flick) (replay *sim.Replay, refreshIn sim.Micros) {
	rest, press, err := rig.RestAndPress()
	if err != nil {
		panic(err)
	}
	frame := rig.Link.Frame
	down := max(1, frame-f.frameIn) // after the frame at t = 0, which arrives
	losses := &scripted{lost: []bool{false}}
	losses.add(int(f.lostFirst), true)
	if frame > 0 {
		losses.add(int(looks(f.hold, f.frameIn, frame)-f.lostFirst), false)
	}
	losses.add(int(f.lostLast), true)
	chain := sim.NewLinkedChain(rig, rig.Camera.Window(), rest, 0, rand.New(losses))
	if f.hold > 0 {
		chain.Move(down, press)
	}
	if f.hold > 0 && !single {
		chain.Move(down+f.hold, rest)
	}
	replay = chain.Finish(down + f.hold + 3000)
	if edges, update := replay.Lanes.Pulse.Edges, rig.Line.Update; len(edges) > 0 && update > 0 {
		refreshIn = (update - edges[0].At%update) % update
	}
	return replay, refreshIn
}

func (s *scripted) add(n int, lost bool) {
	for range n {
		s.lost = append(s.lost, lost)
	}
}

func drawFlick(t *rapid.T, c Case) flick {
	f := flick{hold: drawShort(t, "hold", 0, 160)}
	if c.singleMove() {
		f.hold = 1000
	}
	frame := c.Rig.Link.Frame
	if frame == 0 {
		return f
	}
	f.frameIn = sim.Micros(rapid.IntRange(0, int(frame-1)).Draw(t, "frame in"))
	if c.Rig.Link.Loss > 0 {
		f.lostFirst = min(drawShort(t, "lost first", 0, 3), looks(f.hold, f.frameIn, frame))
		f.lostLast = drawShort(t, "lost last", 0, 3)
	}
	return f
}

// TestPathEqualsChain holds the short way to the real chain: on random rigs the
// same flick is seen for the same time, and comes out the same.
func TestPathEqualsChain(t *testing.T) {
	met := map[Outcome]int{}
	rapid.Check(t, func(t *rapid.T) {
		c := Case{Rig: drawRig(t)}
		require.NoError(t, c.Check())
		require.True(t, c.Closed())
		for range 20 {
			f := drawFlick(t, c)
			met[requireSame(t, c, f)]++
		}
	})
	for _, o := range []Outcome{Toggles, Missed, Short, Long} {
		require.NotZero(t, met[o], "no flick came out as %s", o)
	}
}

func requireSame(t *rapid.T, c Case, f flick) Outcome {
	replay, refreshIn := play(c.Rig, c.singleMove(), f)
	var want sim.Micros
	for press := range replay.Lanes.Wire.Presses(replay.End) {
		require.Zero(t, want, "one press at most")
		want = press.Length()
	}
	p := newPath(c, f.hold)
	seen := p.seen(f, refreshIn)
	require.Equal(t, want, seen, "%+v", f)
	outcome := outcomeOf(replay)
	require.Equal(t, outcome, p.judge(seen, c.Rig.Camera.Window()), "%+v", f)
	return outcome
}
