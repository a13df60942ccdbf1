package stat

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// nistExample is the worked example of the NIST/SEMATECH e-Handbook 6.2.6.
var nistExample = SequentialTest{Good: 0.01, Bad: 0.10, FalseBad: 0.05, FalseGood: 0.10}

func TestSequentialLinesAgainstNIST(t *testing.T) {
	slope, below, above := nistExample.Lines()
	require.InDelta(t, 0.0397474, slope, 1e-7)
	require.InDelta(t, 0.9388616, below, 1e-7)
	require.InDelta(t, 1.2053786, above, 1e-7)
}

// TestSequentialTableAgainstNIST: the handbook's table of the failures at which
// to accept and to reject, at the rows where one of them changes. −1 stands for
// its "x": no acceptance yet.
func TestSequentialTableAgainstNIST(t *testing.T) {
	for _, row := range []struct{ n, accept, reject int }{
		{2, -1, 2}, {20, -1, 3}, {24, 0, 3}, {46, 0, 4}, {49, 1, 4}, {71, 1, 5}, {74, 2, 5}, {96, 2, 6}, {100, 3, 6},
	} {
		accept, reject := acceptAndReject(row.n)
		require.Equal(t, []int{row.accept, row.reject}, []int{accept, reject}, "after %d", row.n)
		earlierAccept, earlierReject := acceptAndReject(row.n - 1)
		require.False(t, row.n > 2 && accept == earlierAccept && reject == earlierReject, "%d is where it changes", row.n)
	}
}

func acceptAndReject(n int) (accept, reject int) {
	accept = -1
	for nistExample.Decide(n, accept+1) == CalledGood {
		accept++
	}
	for reject = accept + 1; nistExample.Decide(n, reject) != CalledBad; reject++ {
	}
	return accept, reject
}

// TestSequentialRunAgainstNIST: failures at items 14, 32 and 38 reject at the
// third, by the handbook.
func TestSequentialRunAgainstNIST(t *testing.T) {
	failures := 0
	for n := 1; n <= 38; n++ {
		if n == 14 || n == 32 || n == 38 {
			failures++
		}
		want := Undecided
		if n == 38 {
			want = CalledBad
		}
		require.Equal(t, want, nistExample.Decide(n, failures), "after %d", n)
	}
}

// TestSequentialErrorRates simulates the example. Its exact rates and mean
// sample numbers (0.0220471 and 30.2127 at 1 %, 0.0995788 and 22.3692 at 10 %)
// were computed apart by recursion over the number of failures.
func TestSequentialErrorRates(t *testing.T) {
	const runs = 20000
	for _, c := range []struct {
		chance     float64
		wrong      Decision
		rate, mean float64
	}{
		{0.01, CalledBad, 0.0220471, 30.2127},
		{0.10, CalledGood, 0.0995788, 22.3692},
	} {
		rng := rand.New(rand.NewPCG(5, 6))
		wrong, trials := 0, 0
		for range runs {
			decision, n := runTest(nistExample, c.chance, rng)
			trials += n
			if decision == c.wrong {
				wrong++
			}
		}
		require.InDelta(t, c.rate, float64(wrong)/runs, 4*math.Sqrt(c.rate*(1-c.rate)/runs))
		require.InDelta(t, c.mean, float64(trials)/runs, 0.6)
	}
}

func runTest(test SequentialTest, failureChance float64, rng *rand.Rand) (Decision, int) {
	failures := 0
	for n := 1; ; n++ {
		if rng.Float64() < failureChance {
			failures++
		}
		if d := test.Decide(n, failures); d != Undecided {
			return d, n
		}
	}
}

// TestSequentialNeeded: the example accepts 24 items without a failure, and not
// 23 (the handbook's table).
func TestSequentialNeeded(t *testing.T) {
	require.Equal(t, 24, nistExample.Needed(0, 0))
	require.Equal(t, 14, nistExample.Needed(10, 0))
}

// TestStagesShareTheError: ½ + ¼ + … = 1.
func TestStagesShareTheError(t *testing.T) {
	total := 0.0
	for n := range 60 {
		stage := nistExample.Stage(n)
		require.Equal(t, nistExample.FalseBad, stage.FalseBad)
		total += stage.FalseGood
	}
	require.InDelta(t, nistExample.FalseGood, total, 1e-15)
}
