package odds

import (
	"math"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Sampling says how flicks are simulated.
type Sampling struct {
	Flicks int
	// Seed determines all random numbers: equal seeds give equal results,
	// however the pieces are run. Cases with one seed get the same flicks, so
	// that they differ by the rigs and not by luck.
	Seed uint64
	// Each calls do for 0 to n − 1, in any order or concurrently, and returns
	// when all are done. nil = one after the other.
	Each func(n int, do func(i int))
}

// alone returns the sampling for one of many pieces: it runs in order.
func (s Sampling) alone() Sampling {
	s.Each = nil
	return s
}

func (s Sampling) each(n int, do func(i int)) {
	if s.Each != nil {
		s.Each(n, do)
		return
	}
	for i := range n {
		do(i)
	}
}

// blockFlicks is how many flicks draw from one source.
const blockFlicks = 1 << 14

// blocks divides n pieces into blocks and runs do on each, with the block's luck.
func (s Sampling) blocks(n, perBlock int, do func(block, pieces int, l *luck)) {
	s.each(blocksOf(n, perBlock), func(i int) {
		do(i, min(perBlock, n-i*perBlock), newLuck(s.Seed, uint64(i)))
	})
}

// blocksOf returns how many blocks n pieces fill.
func blocksOf(n, perBlock int) int { return (n + perBlock - 1) / perBlock }

// player plays flicks.
type player interface {
	// flick draws a flick and returns its outcome with a press window.
	flick(l *luck, w sim.Window) Outcome
}

func (c Case) player(hold sim.Micros) player {
	if c.Closed() {
		return newPath(c, hold)
	}
	return newRehearsal(c, hold)
}

// Simulate simulates flicks with an intended hold and counts their outcomes. If
// the press window is uncertain, each flick draws its own.
func (c Case) Simulate(hold sim.Micros, s Sampling) tally {
	tallies := make([]tally, blocksOf(s.Flicks, blockFlicks))
	s.blocks(s.Flicks, blockFlicks, func(block, flicks int, l *luck) {
		p := c.player(hold)
		for range flicks {
			tallies[block][p.flick(l, l.window(&c.Rig.Camera))]++
		}
	})
	var all tally
	for _, t := range tallies {
		for o, n := range t {
			all[o] += n
		}
	}
	return all
}

// SimulateFlights simulates flights of a number of flicks, with one press
// window per flight, and counts those in which all toggle.
func (c Case) SimulateFlights(hold sim.Micros, flights, flicks int, s Sampling) stat.Rate {
	perBlock := max(1, blockFlicks/max(1, flicks))
	rates := make([]stat.Rate, blocksOf(flights, perBlock))
	s.blocks(flights, perBlock, func(block, flights int, l *luck) {
		p := c.player(hold)
		for range flights {
			rates[block].Add(allToggle(p, flicks, l, l.window(&c.Rig.Camera)))
		}
	})
	var all stat.Rate
	for _, r := range rates {
		all = all.Plus(r)
	}
	return all
}

// allToggle plays flicks until one does not toggle.
func allToggle(p player, flicks int, l *luck, w sim.Window) bool {
	for range flicks {
		if p.flick(l, w) != Toggles {
			return false
		}
	}
	return true
}

// Answer is the chances of a flick and how they were found.
type Answer struct {
	Chances
	Simulated int // simulated flicks; 0 = by closed form
}

// StandardError returns the standard error of one of the chances; 0 for a
// closed form.
func (a Answer) StandardError(o Outcome) float64 {
	if a.Simulated == 0 {
		return 0
	}
	return math.Sqrt(a.Chances[o] * (1 - a.Chances[o]) / float64(a.Simulated))
}

// Ask returns the chances by closed form if there is one, otherwise by
// simulation.
func (c Case) Ask(hold sim.Micros, s Sampling) Answer { return c.asker(s)(hold) }

// asker returns [Case.Ask] for many holds.
func (c Case) asker(s Sampling) func(hold sim.Micros) Answer {
	if c.Closed() {
		f := c.formula()
		return func(hold sim.Micros) Answer { return Answer{Chances: f.chances(hold)} }
	}
	return func(hold sim.Micros) Answer { return c.Simulate(hold, s).Answer() }
}

// Answer returns the chances from simulated flicks. There must be some.
func (t tally) Answer() Answer {
	a := Answer{Simulated: t.Flicks()}
	for o := range a.Chances {
		a.Chances[o] = t.Rate(Outcome(o)).Value()
	}
	return a
}
