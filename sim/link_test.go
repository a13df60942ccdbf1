package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// linkRig is a rig whose chain passes every sample on at once, so that its
// position lane shows the output of the link.
func linkRig(frame Micros, loss float64) Rig {
	rig := DefaultRig()
	rig.Link = LinkSpec{Frame: frame, Loss: loss}
	return rig
}

// pressThroughLink moves the switch up at down and back after width, and
// returns the presses that arrived.
func pressThroughLink(rig Rig, phase, down, width Micros, chance *rand.Rand) []Span {
	c := NewLinkedChain(rig, rig.Camera.Window(), 1000, phase, chance)
	c.Move(down, 2000)
	c.Move(down+width, 1000)
	end := down + width + 100*rig.Link.Frame
	replay := c.Finish(end)
	var presses []Span
	for p := range replay.Lanes.Position.Presses(end) {
		presses = append(presses, p)
	}
	return presses
}

// TestLinkSamplesPulse compares M10 with the closed forms of sampling a pulse of
// width w every T at a uniform phase: seen with chance min(1, w/T); with
// k = ⌊w/T⌋ and f = w/T − k there are k samples with chance 1 − f and k + 1 with
// f; the measured width has mean w and standard deviation T·√(f(1−f)). The
// forms are derived by counting phases, so every phase is tried once and the
// agreement is exact. No published source.
func TestLinkSamplesPulse(t *testing.T) {
	for _, c := range []struct{ width, period Micros }{
		{15, 20}, {280, 22}, {60, 22}, {7, 9}, {50, 20}, {40, 20}, {1, 20},
	} {
		k := c.width / c.period
		f := float64(c.width%c.period) / float64(c.period)
		seen, withOneMore := 0, 0
		var sum, squares float64
		for phase := range c.period {
			measured := Micros(0)
			for _, p := range pressThroughLink(linkRig(c.period, 0), phase, 1000, c.width, nil) {
				measured += p.Length()
			}
			if measured > 0 {
				seen++
			}
			if measured == (k+1)*c.period {
				withOneMore++
			} else {
				require.Equal(t, k*c.period, measured)
			}
			sum += float64(measured)
			squares += float64(measured) * float64(measured)
		}
		n := float64(c.period)
		mean := sum / n
		require.InDelta(t, min(1, float64(c.width)/n), float64(seen)/n, 1e-12, "seen, %d of %d", c.width, c.period)
		require.InDelta(t, f, float64(withOneMore)/n, 1e-12, "one more, %d of %d", c.width, c.period)
		require.InDelta(t, float64(c.width), mean, 1e-9, "mean, %d of %d", c.width, c.period)
		require.InDelta(t, n*math.Sqrt(f*(1-f)), math.Sqrt(squares/n-mean*mean), 1e-6, "SD, %d of %d", c.width, c.period)
	}
}

// TestLinkLosesFrames: frames are lost independently, so a press over k frames
// is seen unless all k are lost.
func TestLinkLosesFrames(t *testing.T) {
	const trials, loss = 20000, 0.4
	chance := rand.New(rand.NewPCG(1, 2))
	rig := linkRig(10, loss)
	for k := Micros(1); k <= 3; k++ {
		seen := 0
		for range trials {
			if len(pressThroughLink(rig, rig.Link.FramePhase(chance), 1000, k*10, chance)) > 0 {
				seen++
			}
		}
		want := 1 - math.Pow(loss, float64(k))
		se := math.Sqrt(want * (1 - want) / trials)
		require.InDelta(t, want, float64(seen)/trials, 4*se, "%d frames", k)
	}
}

// TestLinkMoveAtFrame: a frame sees the move of its own moment (M0).
func TestLinkMoveAtFrame(t *testing.T) {
	require.Equal(t, []Span{{1000, 1020}}, pressThroughLink(linkRig(10, 0), 0, 1000, 20, nil))
	require.Equal(t, []Span{{1001, 1021}}, pressThroughLink(linkRig(10, 0), 1, 1000, 20, nil))
}

// TestLinkStaysAlive: while the link is alive the signal does not go stale,
// however long the switch rests, with and without a frame period (M2, M10).
func TestLinkStaysAlive(t *testing.T) {
	for _, frame := range []Micros{0, 20 * Millisecond, 500 * Millisecond} {
		rig := linkRig(frame, 0)
		rig.SignalLoss.Then = LossPress
		c := NewLinkedChain(rig, rig.Camera.Window(), 1000, frame/2, nil)
		replay := c.Finish(10 * Minute)
		require.Empty(t, replay.Lost, "frame %s", frame)
		require.Empty(t, replay.Lanes.Position.Edges, "frame %s", frame)
	}
}

// TestLinkGoesStale: frames further apart than stale_after lose the signal.
func TestLinkGoesStale(t *testing.T) {
	rig := linkRig(600*Millisecond, 0)
	c := NewLinkedChain(rig, rig.Camera.Window(), 1000, 0, nil)
	replay := c.Finish(Second)
	require.Equal(t, []Span{{500 * Millisecond, 600 * Millisecond}}, replay.Lost)
}

// TestLinkWithoutFrame: without a frame period the chain sees the moves
// themselves, as a log of them would show.
func TestLinkWithoutFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := drawRig(t)
		rig.Link.Frame = 0
		linked := NewLinkedChain(rig, rig.Camera.Window(), 1000, 0, nil)
		log := NewChain(TapChannel, rig)
		log.Feed(Sample{0, 1000, Absent})
		at, last, value := Micros(0), Micros(0), PulseWidth(1000)
		for range rapid.IntRange(0, 12).Draw(t, "moves") {
			at += Micros(rapid.IntRange(1, 40).Draw(t, "step"))
			for last++; last < at; last++ {
				log.Feed(Sample{last, value, Absent})
			}
			value = rapid.SampledFrom([]PulseWidth{1000, 1240, 1500, 2000}).Draw(t, "value")
			linked.Move(at, value)
			log.Feed(Sample{at, value, Absent})
		}
		got, want := linked.Finish(at+50), finishHeld(log, last, at+50, value)
		require.Equal(t, want.Lanes.Wire.Initial, got.Lanes.Wire.Initial)
		require.Equal(t, withoutUnseen(want.Record), withoutUnseen(got.Record))
	})
}

// finishHeld ends a log whose last value is repeated every microsecond.
func finishHeld(c *Chain, last, end Micros, value PulseWidth) *Replay {
	for last++; last <= end; last++ {
		c.Feed(Sample{last, value, Absent})
	}
	return c.Finish()
}

// TestPhasesAreUniform: phases cover the period evenly and stay in it.
func TestPhasesAreUniform(t *testing.T) {
	const draws = 22000
	chance := rand.New(rand.NewPCG(3, 4))
	var counts [22]int
	for range draws {
		counts[LinkSpec{Frame: 22}.FramePhase(chance)]++
	}
	for phase, n := range counts {
		require.InDelta(t, draws/22, n, 160, "phase %d", phase) // five standard deviations
	}
	require.Zero(t, LineSpec{}.RefreshPhase(chance))
}
