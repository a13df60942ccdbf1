package text

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPercentText: what is missing to 0 or to 100 % shows, and nothing that is
// possible reads as impossible or certain.
func TestPercentText(t *testing.T) {
	for p, want := range map[float64]string{
		0: "0 %", 1: "100 %", 0.5: "50 %", 0.123: "12 %", 0.05: "5.0 %", 0.993: "99.30 %",
		0.999: "99.90 %", 0.99998: "99.9980 %", 0.9999999: "> 99.9999 %", 1e-7: "< 0.0001 %", 2e-5: "0.0020 %",
	} {
		require.Equal(t, want, percentText(p), "%v", p)
	}
}

// TestChanceText: a simulation that never failed proves no certainty. Of 0 in 30
// and 30 in 30 the Wilson interval of 95 % leaves 11.35 % (statsmodels' test
// results from R binom.confint: 0.11351339).
func TestChanceText(t *testing.T) {
	require.Equal(t, "> 89 %", chanceText(1, 30))
	require.Equal(t, "< 11 %", chanceText(0, 30))
	require.Equal(t, "50 %", chanceText(0.5, 30))
	require.Equal(t, "50 % ± 5", withError(0.5, 100), "√(0.25/100)")
	require.Equal(t, "50 %", withError(0.5, 0))
}
