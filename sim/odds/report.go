package odds

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Confidence is the level of the reported intervals.
const Confidence = 0.95

// Query is a question about odds, and where its data come from.
type Query struct {
	Case     Case
	Hold     sim.Micros // the pilot's present aim; 0 = that of the rig
	Source   string     // of the spread
	Slips    stat.Rate  // of the observed flicks; no trials if there were none
	Flicks   int        // per flight
	Wanted   float64    // the chance from which a hold counts as safe
	Sampling Sampling   // for each hold
}

// Report is the whole answer to a [Query].
type Report struct {
	*Query
	Study   Study
	Now     At      // the pilot's present aim, or that of the rig
	Saves   float64 // what the best hold saves compared with the rig's aim; 0 = not worth mentioning
	Table   []At
	Flights []FlightChance // for the holds of the table, in its order
	// Check has simulated flicks to compare, if the answers are by formula.
	Check   []At
	Changes []Change // at the present aim
}

// FlightChance is the chance that all flicks of a flight toggle.
type FlightChance struct {
	Chance    float64
	Simulated int // simulated flights; 0 = by formula
}

// Report computes the answer.
func (q *Query) Report() *Report {
	o := &Report{Query: q, Study: q.Case.Study(q.Wanted, q.Sampling)}
	o.Now, o.Saves = o.Study.Aim, o.Study.Saves()
	if q.Hold > 0 {
		o.Now = At{Hold: q.Hold, Answer: q.Case.Ask(q.Hold, q.Sampling)}
	}
	holds := o.holdsToShow()
	o.Table, o.Flights = make([]At, len(holds)), make([]FlightChance, len(holds))
	q.Sampling.each(len(holds), func(i int) {
		o.Table[i], o.Flights[i] = At{Hold: holds[i], Answer: q.Case.Ask(holds[i], q.Sampling)}, q.flight(holds[i])
	})
	if q.Case.Closed() {
		o.Check = q.simulated(o.Table)
	}
	o.Changes = q.Case.Changes(o.Now.Hold, o.aims(), q.Sampling)
	return o
}

// aims returns the rig's aim, and the best hold if that is worth mentioning.
func (o *Report) aims() []sim.Micros {
	if o.Saves > 0 {
		return []sim.Micros{o.Study.Aim.Hold, o.Study.Best.Hold}
	}
	return []sim.Micros{o.Study.Aim.Hold}
}

// roundHolds are the holds of the table, as far as the curve goes.
var roundHolds = []sim.Micros{50, 100, 150, 200, 300, 400, 500, 700, 1000, 1500, 2000, 3000}

// holdsToShow returns round holds, those worth aiming for, and the current aim.
func (o *Report) holdsToShow() []sim.Micros {
	first, last := o.Study.Curve[0].Hold, o.Study.Curve[len(o.Study.Curve)-1].Hold
	holds := append(o.aims(), o.Now.Hold)
	for _, millis := range roundHolds {
		if hold := millis * sim.Millisecond; hold >= first && hold <= last {
			holds = append(holds, hold)
		}
	}
	slices.Sort(holds)
	return slices.Compact(holds)
}

// simulated simulates the chances at the holds of a table, dividing the number
// of flicks to simulate among them.
func (q *Query) simulated(table []At) []At {
	s := q.Sampling
	s.Flicks = max(1, s.Flicks/len(table))
	var all []At
	for _, at := range table {
		all = append(all, At{Hold: at.Hold, Answer: q.Case.Simulate(at.Hold, s).Answer()})
	}
	return all
}

// flight returns the chance that all flicks of a flight toggle.
func (q *Query) flight(hold sim.Micros) FlightChance {
	if q.Case.Closed() {
		return FlightChance{Chance: q.Case.Flight(hold, q.Flicks)}
	}
	const fewest = 200
	rate := q.Case.SimulateFlights(hold, max(fewest, q.Sampling.Flicks/q.Flicks), q.Flicks, q.Sampling)
	return FlightChance{rate.Value(), rate.Trials}
}

// Index returns the index of a hold in the table.
func (o *Report) Index(hold sim.Micros) int {
	i, _ := slices.BinarySearchFunc(o.Table, hold, func(a At, h sim.Micros) int { return cmp.Compare(a.Hold, h) })
	return i
}

// WorstCheck returns the largest difference between simulation and formula, in
// standard errors, over all holds and outcomes, skipping outcomes with fewer
// than 10 expected.
func (o *Report) WorstCheck() (errors float64, flicks int) {
	for i, check := range o.Check {
		flicks += check.Simulated
		for _, outcome := range Outcomes {
			p := o.Table[i].Chances[outcome]
			n := float64(check.Simulated)
			if p*n < 10 || (1-p)*n < 10 {
				continue
			}
			errors = max(errors, math.Abs(check.Chances[outcome]-p)/math.Sqrt(p*(1-p)/n))
		}
	}
	return errors, flicks
}
