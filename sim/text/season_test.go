package text

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/season"
)

// TestSeason: a title, the verdict, then each section with its lines and its table.
func TestSeason(t *testing.T) {
	f := season.FlightOf(&judged(t, belief.Observations{}, flown(sim.DefaultRig(), 300*ms, 40*ms, 300*ms))[0])
	f.Began, f.Clock = time.Date(2026, 6, 13, 10, 0, 0, 0, time.UTC), season.LogClock
	got := printed(func(p *Printer) {
		p.Season(season.Of(sim.DefaultRig(), []season.Outing{{Folder: "lake", Flights: []season.Flight{f}}},
			[]season.LeftOut{{File: "lake/notes.csv", Why: "no channel"}}))
	})
	// Wilson's interval of 95 % is 20.8 to 93.9 % for 2 of 3, and 6.1 to 79.2 % for
	// 1 of 3: with z² = 3.8415, (x + z²/2 ± z·√(x(n−x)/n + z²/4)) / (n + z²).
	// The take is from the release at 10.3 s to that at 30.3 s.
	assert.Equal(t, `season: 1 flight on 1 day, 2026-06-13
2 of 3 flicks toggled, 67 % (21 to 94); recorded 20 s`, part(t, got, "season"))
	assert.Equal(t, `why flicks did not toggle
  outcome  flicks  of all          sum
  short    1       33 % (6 to 79)  33 %`, part(t, got, "why flicks"), "a table only")
	assert.Equal(t, `the camera's press window
  min_press 80 ms, long_press 1500 ms, as the rig says
  the rig leaves nothing to learn; give min_press and long_press as ranges to learn them from flights`,
		part(t, got, "the camera"), "lines only")
	assert.Equal(t, "left out\n  lake/notes.csv: no channel", part(t, got, "left out"))
}
