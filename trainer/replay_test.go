package trainer

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// script is what a pilot does: moves at given times, and pauses. Some moves come
// during a pause.
type script []act

type act struct {
	Move
	pause, resume sim.Micros // before the move; 0 = none
}

// pausing lets a pilot pause now and then.
func (s script) pausing(rng *rand.Rand) script {
	var before sim.Micros
	for i, m := range s {
		if apart := int64(m.At - before); rng.IntN(6) == 0 && apart > 3 {
			s[i].pause = before + 1 + sim.Micros(rng.Int64N(apart-2))
			if rng.IntN(2) == 0 {
				s[i].resume = s[i].pause + 1
			}
		}
		before = m.At
	}
	return s
}

// randomScript draws flicks of all sorts, some through the middle position.
func randomScript(rng *rand.Rand, flicks int) script {
	var s script
	at := sim.Micros(0)
	pass := func(most sim.Micros) { at += 1 + sim.Micros(rng.Int64N(int64(most))) }
	for range flicks {
		pass(3 * sec)
		if rng.IntN(3) == 0 {
			s = append(s, act{Move: Move{at, 1240}})
			pass(20 * ms)
		}
		s = append(s, act{Move: Move{at, 2000}})
		if rng.IntN(8) == 0 {
			pass(2 * sec)
		} else {
			pass(400 * ms)
		}
		s = append(s, act{Move: Move{at, 1000}})
	}
	return s
}

// play runs a script on a drill; tick returns the time until the next tick.
func play(t require.TestingT, s Setup, moves script, tick func() sim.Micros) *Drill {
	d, err := New(s)
	require.NoError(t, err)
	d.Start(0, 1000)
	now, value := sim.Micros(0), sim.PulseWidth(1000)
	tickTo := func(to sim.Micros) {
		for next := now + tick(); next < to; next += tick() {
			now = next
			d.Tick(now)
		}
		now = to
	}
	for _, m := range moves {
		if m.pause > 0 {
			tickTo(m.pause)
			d.Pause(now)
		}
		if m.resume > 0 {
			tickTo(m.resume)
			d.Resume(now, value)
		}
		tickTo(m.At)
		d.Move(m.At, m.Value)
		value = m.Value
	}
	d.Stop(now + 5*sec)
	return d
}

// practiceRigs are rigs with everything between hand and camera.
func practiceRigs() []sim.Rig {
	slow := sim.DefaultRig()
	slow.Link = sim.LinkSpec{Frame: 22 * ms, Loss: 0.2}
	slow.Line.Update, slow.Line.Delay = 20*ms, 150*ms
	slow.Switch.Settle = 30 * ms
	slow.Camera.MinGap, slow.Camera.StartDelay, slow.Camera.StopDelay = 15*ms, 300*ms, 700*ms
	shot := sim.DefaultRig()
	shot.Link.Frame = 4 * ms
	shot.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 300 * ms, Rest: 100 * ms}
	both := shot
	both.OneShot.Trigger = sim.TriggerBoth
	onPress := slow
	onPress.Camera.ToggleOn = sim.ToggleOnPress
	return []sim.Rig{sim.DefaultRig(), slow, shot, both, onPress}
}

// TestTicksDoNotMatter: the results do not depend on when Tick is called.
func TestTicksDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		s := Setup{
			Kind: rapid.SampledFrom(tracks).Draw(t, "kind"),
			Rig:  rapid.SampledFrom(practiceRigs()).Draw(t, "rig"),
			Seed: rng.Uint64(),
		}
		moves := randomScript(rng, 25).pausing(rng)
		steady := play(t, s, moves, func() sim.Micros { return 16667 })
		uneven := play(t, s, moves, func() sim.Micros { return 1 + sim.Micros(rng.Int64N(int64(sec))) })
		require.Equal(t, steady.Flicks(), uneven.Flicks())
		require.Equal(t, steady.Results(), uneven.Results())
		require.Equal(t, steady.Runs(), uneven.Runs())
	})
}

// TestPracticeReplays: a replay of the samples of a run gives exactly the presses
// that the drill judged, as there is one model.
func TestPracticeReplays(t *testing.T) {
	presses := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		s := Setup{
			Kind: rapid.SampledFrom(tracks).Draw(t, "kind"),
			Rig:  rapid.SampledFrom(practiceRigs()).Draw(t, "rig"),
			Seed: rng.Uint64(),
		}
		d := play(t, s, randomScript(rng, 15).pausing(rng), func() sim.Micros { return 16667 })
		for i, run := range d.Runs() {
			var moves []Move
			var judged []sim.Press
			for _, f := range d.Flicks() {
				if f.Run == run.N {
					moves = append(moves, f.Moves...)
					judged = append(judged, f.Presses...)
				}
			}
			if len(moves) == 0 {
				continue
			}
			end := moves[len(moves)-1].At + sec
			if i+1 < len(d.Runs()) {
				end = min(end, d.Runs()[i+1].From)
			}
			rig := s.Rig
			rig.Camera.Start = run.Start
			chain := sim.NewChain(sim.TapChannel, rig)
			for _, sample := range run.Samples(rig, s.Seed, moves, end) {
				chain.Feed(sample)
			}
			replayed := chain.Finish().Presses
			require.GreaterOrEqual(t, len(replayed), len(judged))
			for i, p := range judged {
				for _, at := range []*sim.Micros{&p.Down, &p.Up, &p.Effect, &p.Acts} {
					if *at != sim.Never {
						*at += run.Phase - run.From
					}
				}
				again := replayed[i]
				if rig.Link.Frame == 0 {
					require.LessOrEqual(t, max(again.DownUnseen, again.UpUnseen), sim.Microsecond, "a move that arrives at once is exact")
				}
				again.DownUnseen, again.UpUnseen = p.DownUnseen, p.UpUnseen // of the record, not of the press
				require.Equal(t, again, p)
				presses++
			}
		}
	})
	require.Greater(t, presses, 100, "drills without presses show nothing")
}

// TestLateMovesCount: a move that arrives after a later tick counts at its own time.
func TestLateMovesCount(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	down := p.at
	p.wait(20 * ms)
	p.drill.Move(down, 2000)
	p.wait(280 * ms)
	up := p.at
	p.wait(25 * ms)
	p.drill.Move(up, 1000)
	p.wait(100 * ms)
	require.Equal(t, 300*ms, p.drill.Flicks()[0].Hold())
}

// TestHandAndCameraAreToldApart: frames and refreshes change the hold that the camera
// sees, and the hand's own is kept beside it. Without the link both are the same.
func TestHandAndCameraAreToldApart(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Link.Frame = 22 * ms
	for _, without := range []bool{false, true} {
		p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1, WithoutLink: without})
		for range 20 {
			p.waitFor(PhaseAct)
			p.wait(7 * ms)
			p.flick(305 * ms)
			p.wait(2 * sec)
		}
		differ := 0
		for _, f := range p.drill.Flicks() {
			require.Equal(t, 305*ms, f.Hold())
			require.InDelta(t, float64(305*ms), float64(f.Seen), float64(22*ms))
			if f.Seen != f.Hold() {
				differ++
			}
		}
		if without {
			require.Zero(t, differ)
		} else {
			require.Equal(t, 20, differ)
		}
	}
}

// TestFlickSeenByNobody: the camera can miss a flick shorter than a frame, and its
// words say so.
func TestFlickSeenByNobody(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Link.Frame = 500 * ms
	p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
	unseen := 0
	for range 20 {
		p.waitFor(PhaseAct)
		p.flick(100 * ms)
		p.wait(3 * sec)
		if f := p.drill.Flicks()[len(p.drill.Flicks())-1]; f.Verdict == verdictUnseen {
			unseen++
			require.Equal(t, "100 ms: the camera never saw it", f.Words())
		}
	}
	require.Greater(t, unseen, 10, "four in five fall between the frames")
}
