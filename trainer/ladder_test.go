package trainer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLadderConverges: three up, one down settles where three hits in a row are
// as likely as not, at p³ = ½, 79.4 % of hits (H. Levitt, J. Acoust. Soc. Am. 49
// (1971) 467, from memory; p³ = ½ is checked here). The pilots' chance of a hit
// falls with the level by a logistic curve as steep as those of the trainer's
// own tolerances or flatter; the median level of many is compared with the one
// at which the curve passes 79.4 %.
func TestLadderConverges(t *testing.T) {
	target := math.Cbrt(0.5)
	require.InDelta(t, 0.794, target, 0.0005)
	for _, width := range []float64{2, 4, 8} {
		const middle, pilots, trials = 40.0, 400, 600
		chanceAt := func(level float64) float64 { return 1 / (1 + math.Exp((level-middle)/width)) }
		rng := rand.New(rand.NewPCG(7, 8))
		var sum float64
		n := 0
		for range pilots {
			var l ladder
			for trial := range trials {
				l.Step(rng.Float64() < chanceAt(float64(l.Level)))
				if trial >= trials/2 {
					sum += float64(l.Level)
					n++
				}
			}
		}
		mean := sum / float64(n)
		require.InDelta(t, target, chanceAt(mean), 0.02, "width %v: mean level %.2f", width, mean)
	}
}

func TestLadderSteps(t *testing.T) {
	var l ladder
	for _, step := range []struct {
		hit  bool
		want int
	}{{true, 0}, {true, 0}, {true, 1}, {true, 1}, {false, 0}, {false, 0}, {true, 0}, {true, 0}, {false, 0}, {true, 0}, {true, 0}, {true, 1}} {
		l.Step(step.hit)
		require.Equal(t, step.want, l.Level)
	}
}

// TestToleranceStaysAboveResolution however high the level.
func TestToleranceStaysAboveResolution(t *testing.T) {
	require.Equal(t, 200*ms, tolerance(200*ms, 0, 0))
	require.Equal(t, 170*ms, tolerance(200*ms, 1, 0))
	require.Equal(t, 40*ms, tolerance(200*ms, 100, 20*ms))
	require.Equal(t, 5*ms, tolerance(200*ms, 100, 0))
	for level := range 30 {
		require.LessOrEqual(t, tolerance(sec, level+1, 0), tolerance(sec, level, 0))
	}
}
