package odds

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func TestParseSpread(t *testing.T) {
	for text, want := range map[string]Spread{
		"12%":      {Relative: 0.12},
		"25ms":     {Fixed: 25 * sim.Millisecond},
		"20ms+8%":  {Fixed: 20 * sim.Millisecond, Relative: 0.08},
		"8%+20ms":  {Fixed: 20 * sim.Millisecond, Relative: 0.08},
		"0.5%":     {Relative: 0.005},
		"0s":       {},
		"12.5 %":   {Relative: 0.125},
		"1.5ms+3%": {Fixed: 1500, Relative: 0.03},
	} {
		spread, err := ParseSpread(text)
		require.NoError(t, err, text)
		require.Equal(t, want, spread, text)
	}
	for _, text := range []string{"", "12", "%", "-3%", "101%", "20ms+", "NaN%", "20ms 8%"} {
		_, err := ParseSpread(text)
		require.Error(t, err, text)
	}
}
