package main

import (
	"math/rand/v2"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/history"
)

// practised FOLDER writes three weeks of a simulated pilot's practice into a
// journal.
func practised(ts *testscript.TestScript, _ bool, args []string) {
	writePractice(ts.MkAbs(args[0]), ts.Check)
}

// writePractice makes two drills each Monday and Thursday, with a hold that
// spreads less each time. The pilot and the times are invented.
func writePractice(folder string, check func(error)) {
	journal, err := history.Open(folder)
	check(err)
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	pilot := simulatedPilot{rng: rand.New(rand.NewPCG(1, 2)), spread: 150e3}
	monday := time.Date(2025, time.June, 2, 18, 0, 0, 0, time.UTC)
	for i, day := range []int{0, 3, 7, 10, 14, 17} {
		now := monday.AddDate(0, 0, day)
		profile := func() history.Profile {
			h, err := journal.Read()
			check(err)
			return h.Profile(history.RigHash(rig), "keyboard")
		}
		for j, kind := range []trainer.Kind{trainer.KindFlick, []trainer.Kind{trainer.KindSteady, trainer.KindBlind}[i%2]} {
			d, err := trainer.New(trainer.Setup{
				Kind: kind, Rig: rig, Seed: uint64(2*i + j), Past: profile().Past(now), Cold: j == 0, Resolution: 2 * sim.Millisecond,
			})
			check(err)
			keeper, err := journal.Begin(d, history.Context{
				Device: "keyboard", RigName: rig.Name, RigHash: history.RigHash(rig), Version: "test", Resolution: 2000,
			}, now.Add(time.Duration(j)*5*time.Minute))
			check(err)
			pilot.do(d)
			check(keeper.Keep())
		}
		pilot.spread *= 0.7
	}
}

// simulatedPilot flicks at every cue with a hold that scatters.
type simulatedPilot struct {
	rng    *rand.Rand
	spread float64 // in µs
}

func (p *simulatedPilot) do(d *trainer.Drill) {
	now := sim.Micros(0)
	d.Start(now, 1000)
	for ; !d.Over(); now += 50 * sim.Millisecond {
		d.Tick(now)
		switch d.View(now).Phase {
		case trainer.PhaseAct:
			hold := 330*sim.Millisecond + sim.Micros(p.spread*p.rng.NormFloat64())
			d.Move(now, 2000)
			now += max(30*sim.Millisecond, hold)
			d.Move(now, 1000)
		case trainer.PhaseAsk:
			d.Answer(now, d.View(now).Tally == sim.StateRecording)
		}
	}
}
