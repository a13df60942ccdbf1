package odds_test

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/odds"
)

// A pilot who flicks for 100 ms or so, with a camera that takes 80 ms: which
// hold to aim for, and what a one-shot would save.
func Example() {
	c := odds.Case{Rig: sim.DefaultRig(), Pilot: odds.Pilot{Spread: odds.Spread{Relative: 0.15}}}
	if err := c.Check(); err != nil {
		fmt.Println(err)
		return
	}
	const hold = 100 * sim.Millisecond
	study := c.Study(0.99, odds.Sampling{})
	fmt.Printf("now %.1f %%, aim for %s\n", 100*c.Chances(hold)[odds.Toggles], study.Aim.Hold)
	for _, change := range c.Changes(hold, []sim.Micros{study.Aim.Hold}, odds.Sampling{}) {
		fmt.Printf("%s: %s instead of %s saves %.0f of 1000 flicks\n", change.What, change.To, change.From, 1000*change.Saves)
	}
	// Output:
	// now 90.9 %, aim for 350ms
	// oneshot.trigger: rising, width 350ms instead of off saves 91 of 1000 flicks
	// aim: 350 ms instead of 100 ms saves 91 of 1000 flicks
	// spread: 7.5% of the hold instead of 15% of the hold saves 87 of 1000 flicks
}
