package odds

import (
	"math"
	"math/bits"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext/prng"

	"flicktally/sim"
)

// TestXoshiroVector: what the authors' own program (prng.di.unimi.it,
// xoshiro256plusplus.c) gives from the state 1, 2, 3, 4; from memory. The first
// can be checked by hand: 5·2²³ + 1.
func TestXoshiroVector(t *testing.T) {
	s := source{1, 2, 3, 4}
	for _, want := range []uint64{
		41943041, 58720359, 3588806011781223, 3591011842654386, 9228616714210784205,
		9973669472204895162, 14011001112246962877, 12406186145184390807, 15849039046786891736, 10450023813501588000,
	} {
		require.Equal(t, want, s.Uint64())
	}
}

// TestXoshiroAgainstGonum holds stream and seeding to those of another library.
func TestXoshiroAgainstGonum(t *testing.T) {
	for _, seed := range []uint64{0, 1, 12345, math.MaxUint64} {
		ours, theirs := newLuck(seed, 0).holds, prng.NewXoshiro256plusplus(seed)
		for range 1000 {
			require.Equal(t, theirs.Uint64(), ours.Uint64())
		}
	}
}

// TestBlocksGoOnWithTheSeed: the sources of all blocks are seeded from one
// sequence, so that no two of them begin alike.
func TestBlocksGoOnWithTheSeed(t *testing.T) {
	words := prng.NewSplitMix64(42)
	for block := range uint64(3) {
		l := newLuck(42, block)
		for _, s := range []source{l.holds, l.frames, l.losses, l.refreshes, l.windows, l.bounces} {
			require.Equal(t, source{words.Uint64(), words.Uint64(), words.Uint64(), words.Uint64()}, s)
		}
	}
}

// TestUnitStaysInside: the ends of the bits give neither 0 nor 1.
func TestUnitStaysInside(t *testing.T) {
	lowest, _ := source{}.unit()
	require.Equal(t, math.Ldexp(1, -53), lowest)
	highest, _ := source{a: math.MaxUint64}.unit() // 2⁶⁴ − 1 doubled with a turn, less 1
	require.Less(t, highest, 1.0)
	require.Greater(t, highest, 1-1e-15)
}

func TestBelow(t *testing.T) {
	for _, c := range []struct {
		n    sim.Micros
		bits uint64
		want sim.Micros
	}{
		{0, math.MaxUint64, 0}, {1, math.MaxUint64, 0}, {20, 0, 0}, {20, math.MaxUint64, 19},
		{20, 1 << 63, 10}, {20, 1<<63 - 1, 9}, {sim.MaxDuration, math.MaxUint64, sim.MaxDuration - 1},
	} {
		require.Equal(t, c.want, below(c.n, c.bits), "of %d", c.n)
	}
}

// TestRunsOfACoin: runs of something with the chance ½ are the leading zeros of
// the bits.
func TestRunsOfACoin(t *testing.T) {
	coin := newRuns(0.5)
	for zeros := range 64 {
		for _, u := range []uint64{1 << (63 - zeros), 1<<(64-zeros) - 1} {
			require.EqualValues(t, bits.LeadingZeros64(u), coin.of(u))
		}
	}
}

// TestRunsHaveTheirMean: the mean of a geometric distribution is p/(1−p), its
// variance p/(1−p)².
func TestRunsHaveTheirMean(t *testing.T) {
	for _, chance := range []float64{0, 0.05, 0.2, 0.6, mostLoss} {
		const n = 100_000
		r, s, total := newRuns(chance), newLuck(3, 0).losses, 0.0
		require.Equal(t, chance > 0, r.happen())
		for range n {
			total += float64(r.of(s.Uint64()))
		}
		require.InDelta(t, chance/(1-chance), total/n, 4.5*math.Sqrt(chance/n)/(1-chance))
	}
}

// TestThresholds: a threshold that lies anywhere from 5 to 7 µs is first reached
// by a hold of 6 or of 7 µs, as often; one of 0 by any press.
func TestThresholds(t *testing.T) {
	const n = 10_000
	l, counts := newLuck(4, 0), map[sim.Micros]float64{}
	all := make([]sim.Micros, n)
	thresholds(sim.Interval{Low: 5, High: 7}, &l.windows, all)
	for _, threshold := range all {
		counts[threshold]++
	}
	require.Len(t, counts, 2)
	require.InDelta(t, n/2, counts[6], 4.5*math.Sqrt(n/4))
	require.InDelta(t, n/2, counts[7], 4.5*math.Sqrt(n/4))
	thresholds(sim.Exactly(0), &l.windows, all[:1])
	require.EqualValues(t, 1, all[0])
}
