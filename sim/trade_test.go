package sim

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Checks against outside sources: facts of the trade and closed forms.

// Common practice, no source: moving the switch into range starts nothing, the
// release does; two flicks return to standby.
func TestTradeTheReleaseToggles(t *testing.T) {
	r := play(rigWith(nil), story(flick(1000, 1300), flick(9000, 9300)), 12000)
	assert.Equal(t, StateStandby, r.StateAt(micros(1000)), "the switch is in range")
	assert.Equal(t, StateStandby, r.StateAt(micros(1299.999)))
	assert.Equal(t, StateRecording, r.StateAt(micros(1300)))
	assert.Equal(t, StateStandby, r.StateAt(micros(12000)))
	assert.Len(t, r.Takes, 1)
}

// Common practice, no source: a three-position switch with one position
// released and two pressed. Pulse widths: 1000 to 2000 µs, 1500 in the centre
// (MAVLink common.xml, RC_CHANNELS: 1000 µs is 0 %, 2000 µs is 100 %).
func TestTradeThreePositions(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Switch.Press = []PulseRange{{1250, 2250}} })
	r := play(rig, []moment{{0, rest}, {1000, centre}, {1200, up}, {1400, centre}, {1500, rest}}, 3000)
	assert.Equal(t, []spanMs{{1000, 1500}}, pressedSpans(r, &r.Lanes.Position), "from centre to up and back is one press")
	assert.Equal(t, []Verdict{VerdictToggle}, verdicts(r))
}

// MAVLink common.xml, RC_CHANNELS (65): 65535 means that the channel is not
// used. It is no pulse width.
func TestTradeUnusedChannel(t *testing.T) {
	assert.False(t, DefaultRig().Switch.IsValid(65535))
}

// Switch bounce as an input to settle. J. Ganssle, A Guide to Debouncing
// (ganssle.com/debouncing.htm, quoted second-hand): 16 switches bounced for
// 1557 µs on average, the worst for 6200 µs.
func TestTradeBounce(t *testing.T) {
	for _, bounce := range []Micros{1557, 6200} {
		bouncing := func(from Micros) []moment {
			var m []moment
			for i := range Micros(8) {
				value := up
				if i%2 == 1 {
					value = rest
				}
				m = append(m, moment{float64(from+i*bounce/8) / 1000, value})
			}
			return append(m, moment{float64(from+bounce) / 1000, up})
		}
		moments := story(bouncing(100_000), []moment{{400, rest}})
		raw := play(rigWith(nil), moments, 1000)
		assert.Len(t, raw.Presses, 5, "bounce of %s without settle: %d presses", bounce, len(raw.Presses))
		settled := play(rigWith(func(r *Rig) { r.Switch.Settle = 6200 + Millisecond }), moments, 1000)
		require.Len(t, settled.Presses, 1, "settle a little longer than the worst bounce")
		assert.Equal(t, VerdictToggle, settled.Presses[0].Verdict)
		assert.Equal(t, micros(300)-bounce, settled.Presses[0].Hold(), "settle delays both ends by the same time")
	}
}

// pressAtPhase runs a press of width w through a line that is refreshed every
// update, with the press at a phase, and returns what the camera sees of it.
func pressAtPhase(w, update, phase Micros) (seen Micros) {
	rig := rigWith(func(r *Rig) { r.Line.Update = update })
	c := NewChain(TapChannel, rig)
	down := 3*update + phase
	c.Feed(Sample{0, rest, Absent})
	c.Feed(Sample{down, up, Absent})
	c.Feed(Sample{down + w, rest, Absent})
	r := c.FinishAt(down + w + 3*update)
	for p := range r.Lanes.Line.Presses(r.End) {
		seen += p.Length()
	}
	return seen
}

// TestClosedFormRefresh checks the line against sampling theory, by exact
// enumeration of the phase: a press of width w, sampled every T at a uniform
// phase, is seen with chance min(1, w/T); with k = ⌊w/T⌋ and f = w/T − k its
// seen width is k·T with chance 1−f and (k+1)·T with chance f, so its mean is w
// and its standard deviation T·√(f(1−f)). (Derived; worked cases 15 of 20 seen
// 0.75, 280/22 → 12: 0.2727, 13: 0.7273, 60/22, 7/9 seen 0.7778.)
func TestClosedFormRefresh(t *testing.T) {
	for _, c := range []struct {
		w, update Micros
		seen      float64
	}{
		{15, 20, 0.75}, {7, 9, 0.7778}, {280, 22, 1}, {60, 22, 1}, {22, 22, 1}, {1, 22, 1. / 22},
	} {
		t.Run(fmt.Sprintf("%d over %d", c.w, c.update), func(t *testing.T) {
			widths := map[Micros]int{}
			for phase := range c.update {
				widths[pressAtPhase(c.w, c.update, phase)]++
			}
			k := c.w / c.update
			f := float64(c.w%c.update) / float64(c.update)
			n := float64(c.update)
			assert.InDelta(t, c.seen, 1-float64(widths[0])/n, 5e-5)
			assert.InDelta(t, 1-f, float64(widths[k*c.update])/n, 1e-12)
			if f > 0 {
				assert.InDelta(t, f, float64(widths[(k+1)*c.update])/n, 1e-12)
			}
			var mean, square float64
			for width, count := range widths {
				mean += float64(width) * float64(count) / n
				square += float64(width) * float64(width) * float64(count) / n
			}
			assert.InDelta(t, float64(c.w), mean, 1e-9)
			assert.InDelta(t, float64(c.update)*math.Sqrt(f*(1-f)), math.Sqrt(max(0, square-mean*mean)), 1e-5)
		})
	}
}

// TestClosedFormHoldBounds checks the error bound of a hold against the other
// side of the same theory: a press of width w seen through samples every T
// lies within what [Press.HoldBounds] says, at every phase, and the seen hold
// is off by less than T.
func TestClosedFormHoldBounds(t *testing.T) {
	const every, w = Micros(20), Micros(287)
	for phase := range every {
		c := NewChain(TapChannel, rigWith(nil))
		down := 100*every + phase
		for at := Micros(0); at < 200*every; at += every {
			value := rest
			if at >= down && at < down+w {
				value = up
			}
			c.Feed(Sample{at, value, Absent})
		}
		r := c.Finish()
		require.Len(t, r.Presses, 1)
		p := r.Presses[0]
		bounds := p.HoldBounds()
		assert.LessOrEqual(t, bounds.Low, w)
		assert.GreaterOrEqual(t, bounds.High, w)
		assert.Less(t, max(p.Hold()-w, w-p.Hold()), every)
		assert.Equal(t, Interval{p.Hold() - every, p.Hold() + every}, bounds)
	}
}
