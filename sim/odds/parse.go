package odds

import (
	"fmt"
	"strconv"
	"strings"

	"flicktally/sim"
)

// ParseSpread reads a spread: "12%", "25ms", "20ms+8%".
func ParseSpread(text string) (Spread, error) {
	var parsed Spread
	for part := range strings.SplitSeq(text, "+") {
		if strings.HasSuffix(part, "%") {
			share, err := ParsePercent(part)
			if err != nil {
				return Spread{}, err
			}
			parsed.Relative = share
			continue
		}
		m, err := sim.ParseDuration(part)
		if err != nil {
			return Spread{}, fmt.Errorf("found %q, want a share of the hold such as \"12%%\", a time such as \"25ms\", or both: \"20ms+8%%\"", part)
		}
		parsed.Fixed = m
	}
	return parsed, nil
}

// ParsePercent reads "12%" or "12" as 0.12.
func ParsePercent(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "%")), 64)
	if err != nil || !(v > 0 && v <= 100) {
		return 0, fmt.Errorf("found %q, want more than 0%% and at most 100%%", text)
	}
	return v / 100, nil
}
