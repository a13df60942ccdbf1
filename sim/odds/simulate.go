package odds

import (
	"math"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Sampling says how flicks are simulated.
type Sampling struct {
	Flicks int
	// Seed decides all that chance decides: equal seeds give equal results,
	// whoever runs the pieces. Cases of one seed meet the same flicks, so that
	// they differ by what the rigs make of them, not by luck.
	Seed uint64
	// Each calls do for 0 to n − 1, in any order, also at once, and returns when
	// all are done. nil = one after the other.
	Each func(n int, do func(i int))
}

// alone returns the sampling for a piece that is one of many: it runs in order.
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

// blocks runs do on every block of n pieces in all, with the luck of the block.
func (s Sampling) blocks(n, perBlock int, do func(block, pieces int, l *luck)) {
	s.each(blocksOf(n, perBlock), func(i int) {
		do(i, min(perBlock, n-i*perBlock), newLuck(s.Seed, uint64(i)))
	})
}

// blocksOf returns how many blocks n pieces fill.
func blocksOf(n, perBlock int) int { return (n + perBlock - 1) / perBlock }

// player plays flicks.
type player interface {
	// flick draws a flick that meets a press window, and tells what becomes of it.
	flick(l *luck, w sim.Window) Outcome
}

func (c Case) player(hold sim.Micros) player {
	if c.Closed() {
		return newPath(c, hold)
	}
	return newRehearsal(c, hold)
}

// Simulate flicks with a hold meant to be the given one and counts what becomes
// of it. Where the press window is uncertain each flick draws its own.
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
		all.Add(t)
	}
	return all
}

// SimulateFlights simulates flights of so many flicks, one press window a
// flight, and counts those in which all toggle.
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

func allToggle(p player, flicks int, l *luck, w sim.Window) bool {
	for range flicks {
		if p.flick(l, w) != Toggles {
			return false
		}
	}
	return true
}

// Answer is the chances of a flick, and how they were found.
type Answer struct {
	Chances
	Simulated int // flicks that were simulated; 0 = by closed form
}

// StandardError returns that of one of the chances; 0 for a closed form.
func (a Answer) StandardError(o Outcome) float64 {
	if a.Simulated == 0 {
		return 0
	}
	return math.Sqrt(a.Chances[o] * (1 - a.Chances[o]) / float64(a.Simulated))
}

// Ask returns the chances by closed form where there is one, and else by
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

// Answer returns the chances that simulated flicks tell. There must be some.
func (t tally) Answer() Answer {
	a := Answer{Simulated: t.Flicks()}
	for o := range a.Chances {
		a.Chances[o] = t.Rate(Outcome(o)).Value()
	}
	return a
}
