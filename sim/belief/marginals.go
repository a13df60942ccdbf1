package belief

import "flicktally/sim"

// marginals sums over all histories, for one flight.
type marginals struct {
	verdicts []map[sim.Verdict]float64 // the chances of the verdicts on each press
	starts   []float64                 // of each of its starts
	curve    curve
	ends     []Ending
}

// marginals returns the marginals of each flight.
func (e *estimator) marginals() []marginals {
	all := make([]marginals, len(e.flights))
	for i, f := range e.flights {
		all[i] = marginals{make([]map[sim.Verdict]float64, len(f.replay.Presses)), make([]float64, len(f.starts)), newCurve(), nil}
		for k := range all[i].verdicts {
			all[i].verdicts[k] = map[sim.Verdict]float64{}
		}
	}
	for t := range e.trellises() {
		shares := newBehaviourShares(t, len(e.longs))
		p := newForwardBackward(t)
		for a := t.from; a < t.to; a++ {
			for b := range e.longs {
				if share := e.weights[a][b]; share >= negligible {
					p.forwardPass(a, b)
					p.backwardPass(a, b, share, shares)
				}
			}
		}
		e.addShares(all, t, shares)
	}
	return all
}

// behaviourShares are the shares of the behaviours in a trellis among all
// histories.
type behaviourShares struct {
	all    []float64
	byLong [][]float64 // of those that move with long_press, at each grid point of it
}

func newBehaviourShares(t *trellis, longs int) *behaviourShares {
	s := &behaviourShares{make([]float64, len(t.behaviours)), make([][]float64, len(t.behaviours))}
	for i := range t.behaviours {
		if t.behaviours[i].moves {
			s.byLong[i] = make([]float64, longs)
		}
	}
	return s
}

// add adds to the share of a behaviour at a grid point of long_press.
func (s *behaviourShares) add(behaviour int32, b int, share float64) {
	s.all[behaviour] += share
	if byLong := s.byLong[behaviour]; byLong != nil {
		byLong[b] += share
	}
}

// addShares adds the shares of behaviours to the marginals of their flights.
// Moments that move with min_press are spread over the piece of one grid point.
func (e *estimator) addShares(all []marginals, t *trellis, shares *behaviourShares) {
	for k := range t.behaviours {
		done, share := &t.behaviours[k], shares.all[k]
		stage := &t.stages[done.stage]
		m, f := &all[stage.flight], e.flights[stage.flight]
		switch {
		case done.end != nil:
			m.ends = addEnding(m.ends, *done.end, f.spec, share, f.replay.End, finer)
		case share == 0:
			continue
		case stage.startsFlight():
			m.starts[done.outcome] += share
		default:
			m.addVerdict(stage.press-1, done, share, f.replay.Presses)
		}
		m.curve.add(done.lightBefore, done.changes, share, func(a axis) []chord {
			if a == alongMin {
				return []chord{{e.mins[t.from].low, e.mins[t.from].high, 1}}
			}
			var all []chord
			for b, part := range shares.byLong[k] {
				if part > 0 {
					all = append(all, chord{e.longs[b].low, e.longs[b].high, part / share})
				}
			}
			return all
		})
	}
}

// addVerdict adds the verdict on a press. If the press ends a pair, the first
// press of the pair is a double too.
func (m *marginals) addVerdict(i int, done *behaviour, share float64, presses []sim.Press) {
	m.verdicts[i][done.verdict] += share
	if done.verdict != sim.VerdictDouble {
		return
	}
	first := i - 1
	for presses[first].Down != done.pairStart {
		first--
	}
	m.verdicts[first][sim.VerdictToggle] -= share
	m.verdicts[first][sim.VerdictDouble] += share
}
