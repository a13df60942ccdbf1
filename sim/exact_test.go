package sim

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What random logs hit exactly only by luck.

// A hold of exactly wake_press reaches it; the line is up again at that very
// moment, so it acts when the release counts (M7, M8).
func TestM8AHoldOfExactlyWakePressWakes(t *testing.T) {
	rig := rigWith(func(r *Rig) {
		r.Camera.Start, r.Camera.WakePress, r.Camera.MinGap = StartOff, micros(500), micros(20)
	})
	for hold, want := range map[float64]Verdict{499.999: VerdictOff, 500: VerdictWake} {
		r := play(rig, story(flick(100, 100+hold)), 1000)
		require.Equal(t, []Verdict{want}, verdicts(r), hold)
		if want == VerdictWake {
			assert.Equal(t, micros(620), r.Presses[0].Acts)
		}
	}
}

// A hold of exactly long_press is long and nothing else: it starts no take that
// the long action would end at once (M7).
func TestM7AHoldOfExactlyLongPressIsNoToggle(t *testing.T) {
	for _, fires := range LongMoments {
		r := play(rigWith(func(r *Rig) { r.Camera.LongFires = fires }), story(flick(100, 1600)), 3000)
		assert.Equal(t, []Verdict{VerdictLong}, verdicts(r), fires)
		assert.Empty(t, r.Toggles, fires)
	}
}

// Without a delay, an edge reaches the camera at once and nothing stays in transit
// (M6).
func TestM6AWireWithoutDelayHandsItsEdgeOnAtOnce(t *testing.T) {
	wire := newWire(LineSpec{}, false, false)
	out, changed := wire.Step(Edge{At: 7, Pressed: true})
	assert.True(t, changed)
	assert.Equal(t, Edge{At: 7, Pressed: true}, out)
	assert.Equal(t, Never, wire.Deadline())
}

// quarters is a source of chance that yields 0, ¼, ½ and ¾ in turn.
type quarters struct{ n uint64 }

func (q *quarters) Uint64() uint64 {
	q.n++
	return (q.n - 1) % 4 << 51 // a float64 takes the lower 53 bits
}

// If random numbers cover 0 to 1 evenly, the share that loses a frame equals the
// chance of losing one: a number that equals the chance does not (M10).
func TestM10FramesAreLostWithTheirChance(t *testing.T) {
	require.Equal(t, 0.25, rand.New(&quarters{n: 1}).Float64(), "a source as described")
	for lost, loss := range []float64{0, 0.25, 0.5, 0.75} {
		link := NewLink(linkRig(10, loss), rest, 0, rand.New(&quarters{}))
		arrived := 0
		for frame := range Micros(400) {
			if _, ok := link.Expire(10 * frame); ok {
				arrived++
			}
		}
		assert.Equal(t, 400-100*lost, arrived, "a chance of %v", loss)
	}
}

// A craft may have several armed positions; from one to the other it stays
// armed.
func TestArmedThroughSeveralRangesIsOneWindow(t *testing.T) {
	chain := NewChain(TapChannel, rigWith(func(r *Rig) {
		r.Log.Armed, r.Log.ArmedRange = "arm", []PulseRange{{1400, 1600}, {1900, 2100}}
	}))
	for i, armed := range []PulseWidth{1000, 1500, 2000, 1500, 1700, 2000, 1000} {
		chain.Feed(Sample{micros(float64(100 * i)), rest, armed})
	}
	assert.Equal(t, []Span{{micros(100), micros(400)}, {micros(500), micros(600)}}, chain.Finish().Armed.Windows)
}
