package trainer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// scatterAt returns the scatter with which the share of hits on a level is p, for
// a goal of steady hold at an aim of 350 ms.
func scatterAt(level int, p float64) float64 {
	return float64(tolerance(part(350*ms, steadyAllows), level, 0)) / (math.Sqrt2 * math.Erfinv(p))
}

// practise simulates trials of a hand with some scatter. It returns the share of
// hits and the level after each trial.
func practise(l *ladder, trials int, scatter float64, rng *rand.Rand) (hits float64, levels []int) {
	for range trials {
		g := newGoal(part(350*ms, steadyAllows), l.Level, 0)
		off := sim.Micros(math.Abs(rng.NormFloat64() * scatter))
		l.Step(off <= g.tolerance, g.top)
		if off <= g.tolerance {
			hits++
		}
		levels = append(levels, l.Level)
	}
	return hits / float64(trials), levels
}

// TestLadderConverges: three up, one down settles where three hits in a row are
// as likely as not, at p³ = ½, 79.4 % of hits (H. Levitt, J. Acoust. Soc. Am. 49
// (1971) 467, from memory; p³ = ½ is checked here). The hands scatter by the normal
// distribution, so that they would hit 79.4 % of the goals of levels 3 to 9.
func TestLadderConverges(t *testing.T) {
	target := math.Cbrt(0.5)
	require.InDelta(t, 0.794, target, 0.0005)
	for level := 3; level <= 9; level += 3 {
		rng := rand.New(rand.NewPCG(7, uint64(level)))
		var sum float64
		const pilots = 400
		for range pilots {
			var l ladder
			practise(&l, 200, scatterAt(level, target), rng)
			hits, _ := practise(&l, 200, scatterAt(level, target), rng)
			sum += hits
		}
		require.InDelta(t, target, sum/pilots, 0.03, "level %d", level)
	}
}

// TestBadDayEases: a hand that has reached the top and then scatters three times as
// much is on an easier level within five trials, and hits about four in five again
// in the second half of a drill of 32 trials.
func TestBadDayEases(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	const pilots = 1000
	var eased int
	var late float64
	for range pilots {
		l := ladder{Level: topLevel}
		bad := 3 * scatterAt(topLevel, math.Cbrt(0.5))
		_, levels := practise(&l, 5, bad, rng)
		if levels[4] < topLevel {
			eased++
		}
		practise(&l, 11, bad, rng)
		hits, _ := practise(&l, 16, bad, rng)
		late += hits
	}
	require.Greater(t, eased, pilots*95/100)
	require.InDelta(t, 0.8, late/pilots, 0.05)
}

// TestLevelsAreBounded: levels end at the top, and earlier with a coarse input.
func TestLevelsAreBounded(t *testing.T) {
	for resolution, want := range map[sim.Micros]int{0: topLevel, 20 * ms: 4} {
		var l ladder
		for range 1000 {
			l.Step(true, newGoal(part(350*ms, steadyAllows), l.Level, resolution).top)
		}
		require.Equal(t, want, l.Level)
	}
}

func TestLadderSteps(t *testing.T) {
	var l ladder
	for _, step := range []struct {
		hit  bool
		want int
	}{{true, 0}, {true, 0}, {true, 1}, {true, 1}, {false, 0}, {false, 0}, {true, 0}, {true, 0}, {false, 0}, {true, 0}, {true, 0}, {true, 1}} {
		l.Step(step.hit, false)
		require.Equal(t, step.want, l.Level)
	}
	l = ladder{Level: 9}
	for _, want := range []int{8, 7, 4, 1, 0} {
		l.Step(false, false)
		require.Equal(t, want, l.Level, "several misses in a row lower it by more")
	}
}

// TestToleranceStaysAboveResolution at every level, and never exceeds that of what
// counts as right.
func TestToleranceStaysAboveResolution(t *testing.T) {
	require.Equal(t, 200*ms, tolerance(200*ms, 0, 0))
	require.Equal(t, 170*ms, tolerance(200*ms, 1, 0))
	require.Equal(t, 40*ms, tolerance(200*ms, 100, 20*ms))
	require.Equal(t, 5*ms, tolerance(200*ms, 100, 0))
	require.Equal(t, 70*ms, tolerance(70*ms, 3, 50*ms))
	for level := range 30 {
		require.LessOrEqual(t, tolerance(sec, level+1, 0), tolerance(sec, level, 0))
	}
}
