package trainer_test

import (
	"fmt"

	"flicktally/sim"
	"flicktally/trainer"
)

// A drill is driven by moves and ticks. Here the pilot waits for the cue and
// holds the switch for 310 ms.
func Example() {
	rig := sim.DefaultRig()
	rest, press, err := rig.RestAndPress()
	if err != nil {
		panic(err)
	}
	drill, err := trainer.New(trainer.Setup{Kind: trainer.KindFlick, Rig: rig, Seed: 7})
	if err != nil {
		panic(err)
	}
	now := sim.Micros(0)
	drill.Start(now, rest)
	fmt.Println(drill.View(now).Kind.Rule())
	for drill.View(now).Phase != trainer.PhaseAct {
		now = drill.Deadline()
		drill.Tick(now)
	}
	fmt.Println(drill.View(now).Cue)
	drill.Move(now, press)
	now += 310 * sim.Millisecond
	drill.Move(now, rest)
	now += 100 * sim.Millisecond
	drill.Tick(now)
	fmt.Println(drill.View(now).Last.Words)
	// Output:
	// On the cue, flick once so that recording toggles.
	// Flick
	// 310 ms: toggles, 230 ms to spare
}
