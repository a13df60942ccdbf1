package main

import (
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/odds"
)

func TestSpreadFlag(t *testing.T) {
	for text, want := range map[string]odds.Spread{
		"12%":      {Relative: 0.12},
		"25ms":     {Fixed: 25 * sim.Millisecond},
		"20ms+8%":  {Fixed: 20 * sim.Millisecond, Relative: 0.08},
		"8%+20ms":  {Fixed: 20 * sim.Millisecond, Relative: 0.08},
		"0.5%":     {Relative: 0.005},
		"0s":       {},
		"12.5 %":   {Relative: 0.125},
		"1.5ms+3%": {Fixed: 1500, Relative: 0.03},
	} {
		var flag spreadFlag
		require.NoError(t, flag.Set(text), text)
		require.Equal(t, want, odds.Spread(flag), text)
	}
	for _, text := range []string{"", "12", "%", "-3%", "101%", "20ms+", "NaN%", "20ms 8%"} {
		var flag spreadFlag
		require.Error(t, flag.Set(text), text)
	}
}

func TestOnAllCores(t *testing.T) {
	for _, n := range []int{0, 1, 2, 1000} {
		done := make([]atomic.Int32, n)
		onAllCores(n, func(i int) { done[i].Add(1) })
		for i := range done {
			require.Equal(t, int32(1), done[i].Load(), "piece %d of %d", i, n)
		}
	}
}
