package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/source"
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
			keep, err := journal.Begin(d, history.Context{
				Device: "keyboard", RigName: rig.Name, RigHash: history.RigHash(rig), Version: "test", Resolution: 2000,
			}, now.Add(time.Duration(j)*5*time.Minute))
			check(err)
			pilot.do(d)
			check(keep())
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

// TestTheLogOfADrillReplaysToItsVerdicts: what progress --drill writes gives every
// press that was judged, with the state of the camera before and after it, in every
// drill, however it was flicked and paused.
func TestTheLogOfADrillReplaysToItsVerdicts(t *testing.T) {
	folder := t.TempDir()
	judged := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		kinds := trainer.Kinds[:len(trainer.Kinds)-1] // a review does again what the others ask
		d, err := trainer.New(trainer.Setup{Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Rig: sim.DefaultRig(), Seed: rng.Uint64()})
		require.NoError(t, err)
		journal, err := history.Open(folder)
		require.NoError(t, err)
		keep, err := journal.Begin(d, history.Context{}, time.Unix(1749000000, 0))
		require.NoError(t, err)
		flickAtRandom(d, rng)
		require.NoError(t, keep())
		h, err := journal.Read()
		require.NoError(t, err)
		require.NoError(t, os.Remove(journal.File()))
		kept := h.Drills[0]
		var log bytes.Buffer
		require.NoError(t, recordDrill(&log, kept))
		src, err := source.Open(&log, "practice.csv", source.Options{})
		require.NoError(t, err)
		flights, err := flight.Read(src, "practice.csv", d.Rig(), flight.Options{})
		require.NoError(t, err)
		want := map[int][]sim.Press{}
		var runs []int
		for _, f := range kept.Flicks {
			if want[f.Run] == nil {
				runs = append(runs, f.Run)
			}
			want[f.Run] = append(want[f.Run], f.Presses...)
		}
		for i, run := range runs {
			for n, p := range want[run] {
				again := flights[i].Replay.Presses[n]
				require.Equal(t, []any{p.Verdict, p.Hold(), p.StateAt, p.StateAfter}, []any{again.Verdict, again.Hold(), again.StateAt, again.StateAfter})
				judged++
			}
		}
	})
	require.Greater(t, judged, 100)
}

// flickAtRandom flicks some twenty times, and pauses now and then.
func flickAtRandom(d *trainer.Drill, rng *rand.Rand) {
	now := sim.Micros(0)
	pass := func(most sim.Micros) {
		now += 1 + sim.Micros(rng.Int64N(int64(most)))
		d.Tick(now)
	}
	d.Start(now, 1000)
	for range 20 {
		pass(3 * sim.Second)
		if rng.IntN(6) == 0 {
			d.Pause(now)
			if pass(sim.Second); rng.IntN(2) == 0 {
				d.Resume(now, 1000)
			}
		}
		d.Move(now, 2000)
		pass([]sim.Micros{60 * sim.Millisecond, 500 * sim.Millisecond, 2 * sim.Second}[rng.IntN(3)])
		d.Move(now, 1000)
	}
	d.Stop(now + 5*sim.Second)
}
