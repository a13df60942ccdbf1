package tell

import (
	"fmt"

	"flicktally/sim"
)

// ToggledOf writes how many of the flicks toggled: "5 of 9".
func ToggledOf(counts []sim.FlickCount) string {
	toggled, all := 0, 0
	for _, c := range counts {
		all += c.Count
		if c.Outcome == sim.FlickToggled {
			toggled = c.Count
		}
	}
	return fmt.Sprintf("%d of %d", toggled, all)
}
