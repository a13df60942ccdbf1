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
	r.Camera.LongAction = rapid.SampledFrom(sim.Actions).Draw(t, "long_action")
	r.Camera.LongFires = rapid.SampledFrom(sim.LongMoments).Draw(t, "long_fires")
	r.Camera.StartDelay = drawShort(t, "start_delay", 0, 40)
	return r
}

// scripted makes a link lose given frames, in order.
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

// flick is what chance decides of a flick.
type flick struct {
	hold      sim.Micros // 0 or less = no press
	frameIn   sim.Micros // from the press to the first frame after it
	lostFirst sim.Micros // frames lost from there on until one arrives
	lostLast  sim.Micros // the same from the release on
	refreshIn sim.Micros // from when the press begins on the line to its first refresh
}

// flickOf returns a flick with a hold, and with the chance events that luck draws.
func flickOf(c Case, hold sim.Micros, l *luck) flick {
	f := flick{hold: hold}
	if frame := c.Rig.Link.Frame; frame > 0 {
		f.frameIn = frame - 1 - below(frame, l.frames)
		f.lostFirst, f.lostLast = run(c.Rig.Link.Loss, l.losses), run(c.Rig.Link.Loss, l.losses)
	}
	if update := c.Rig.Line.Update; update > 0 {
		f.refreshIn = update - 1 - below(update, l.refreshes)
	}
	return f
}

// frames returns how many frames see the switch pressed.
func (f flick) frames(frame sim.Micros) int {
	if frame == 0 || f.hold <= f.frameIn {
		return 0
	}
	return int((f.hold-f.frameIn-1)/frame) + 1
}

// play sends a flick through the real chain, its link losing just the frames
// that the flick says, all of it so much later.
func (f flick) play(rig sim.Rig, single bool, later sim.Micros) *sim.Replay {
	rest, press, err := rig.RestAndPress()
	if err != nil {
		panic(err)
	}
	frame := rig.Link.Frame
	losses, phase := &scripted{}, sim.Micros(0)
	if frame > 0 {
		losses.add(int(later/frame)+1, false) // before the press
		phase = later % frame
	}
	seen := f.frames(frame)
	losses.add(min(int(f.lostFirst), seen), true)
	losses.add(seen-int(f.lostFirst), false)
	losses.add(int(f.lostLast), true)
	chain := sim.NewLinkedChain(rig, rig.Camera.Window(), rest, phase, rand.New(losses))
	down := later + max(1, frame-f.frameIn)
	if f.hold > 0 {
		chain.Move(down, press)
	}
	if f.hold > 0 && !single {
		chain.Move(down+f.hold, rest)
	}
	return chain.Finish(down + f.hold + 3000)
}

// replay plays a flick at the time at which its refresh comes when it says.
func (f flick) replay(rig sim.Rig, single bool) *sim.Replay {
	replay := f.play(rig, single, 0)
	update := rig.Line.Update
	if edges := replay.Lanes.Pulse.Edges; update > 0 && len(edges) > 0 {
		refreshIn := (update - edges[0].At%update) % update
		replay = f.play(rig, single, (refreshIn-f.refreshIn+update)%update)
	}
	return replay
}

func (s *scripted) add(n int, lost bool) {
	for range n {
		s.lost = append(s.lost, lost)
	}
}

// TestPathEqualsChain compares the short way with the real chain: on random rigs the
// same flick is seen for the same time, and has the same outcome.
func TestPathEqualsChain(t *testing.T) {
	met := map[Outcome]int{}
	rapid.Check(t, func(t *rapid.T) {
		c := Case{Rig: drawRig(t)}
		require.NoError(t, c.Check())
		require.True(t, c.Closed())
		for range 20 {
			hold := sim.Micros(1000)
			if c.HoldMatters() {
				hold = drawShort(t, "hold", -40, 160)
			}
			met[requireSame(t, c, hold, rapid.Uint64().Draw(t, "luck"))]++
		}
	})
	for _, o := range []Outcome{Toggles, Missed, Short, Long} {
		require.NotZero(t, met[o], "no flick came out as %s", o)
	}
}

func requireSame(t *rapid.T, c Case, hold sim.Micros, seed uint64) Outcome {
	f := flickOf(c, hold, newLuck(seed, 0))
	replay := f.replay(c.Rig, !c.HoldMatters())
	var want sim.Micros
	for press := range replay.Lanes.Wire.Presses(replay.End) {
		require.Zero(t, want, "one press at most")
		want = press.Length()
	}
	p := newPath(c, hold)
	width := p.seen(hold, newLuck(seed, 0))
	require.Equal(t, want, max(0, width), "%+v", f)

	outcome := outcomeOf(replay)
	w := c.Rig.Camera.Window()
	require.Equal(t, outcome, p.judge(width, sim.Window{MinPress: max(1, w.MinPress), LongPress: max(1, w.LongPress)}), "%+v", f)
	return outcome
}
