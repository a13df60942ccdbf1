package season

import (
	"cmp"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Season is what many flights with one rig reveal.
type Season struct {
	Rig     sim.Rig
	Outings []Outing // in order of time
	LeftOut []LeftOut

	Camera Camera
	Flicks stat.Rate // those that toggled
	Doubt  int       // of them doubtful
	Why    []cause   // the most frequent first
	// Armed is the armed time of the flights whose logs have it, Recorded the
	// time in takes of all.
	Armed, Recorded sim.Micros

	Days, Weeks, Months []Period
	// By is the grouping of the report in words, one of [Bys]; "" means the
	// finest of days, weeks and months that fits a screen.
	By string
	// Practice is what was practised with the rig, by day; nil if unknown.
	Practice []Period
	// FirstOfDay counts the first flick of each day, Later the others.
	FirstOfDay, Later stat.Rate
	Hand              *hand // nil if too few holds are known
	Change            *change
	Next              []advice // most flicks first, at most three
}

// cause is a reason why flicks did not toggle, and how many of all flicks had
// it.
type cause struct {
	Outcome sim.FlickOutcome
	Of      stat.Rate
}

// Of makes a season, for a valid rig. Each outing has at least one flight.
func Of(rig sim.Rig, outings []Outing, leftOut []LeftOut) *Season {
	s := &Season{Rig: rig, Outings: inOrder(outings), LeftOut: slices.Clone(leftOut)}
	slices.SortFunc(s.LeftOut, func(a, b LeftOut) int { return strings.Compare(a.File, b.File) })
	s.Camera = learn(rig, s.Outings)
	s.count()
	s.Days = periods(s.Flights(), byDay)
	s.Weeks = periods(s.Flights(), byWeek)
	s.Months = periods(s.Flights(), byMonth)
	s.Hand = handOf(rig, s.Flights())
	s.Change = s.change()
	s.Next = s.advise()
	return s
}

// Flights returns the flights in order of time.
func (s *Season) Flights() []Flight {
	var all []Flight
	for _, o := range s.Outings {
		all = append(all, o.Flights...)
	}
	slices.SortStableFunc(all, earlier)
	return all
}

// earlier orders flights by time, those of the same moment by name.
func earlier(a, b Flight) int {
	return cmp.Or(a.Began.Compare(b.Began), strings.Compare(a.File, b.File), cmp.Compare(a.Segment, b.Segment))
}

func (s *Season) count() {
	why := counts{}
	day := ""
	for _, f := range s.Flights() {
		s.Flicks = s.Flicks.Plus(stat.Rate{Hits: f.Toggled, Trials: f.Flicks})
		s.Doubt += f.Doubt
		s.Recorded += f.Recorded
		if f.Armed != nil {
			s.Armed += *f.Armed
		}
		for outcome, n := range f.Why {
			why[outcome] += n
		}
		for _, k := range f.Held {
			hit := k.Outcome == sim.FlickToggled
			if today := f.day(); today != day {
				day = today
				s.FirstOfDay.Add(hit)
			} else {
				s.Later.Add(hit)
			}
		}
	}
	for _, outcome := range sim.FlickOutcomes {
		if n := why[outcome]; n > 0 {
			s.Why = append(s.Why, cause{outcome, stat.Rate{Hits: n, Trials: s.Flicks.Trials}})
		}
	}
	slices.SortStableFunc(s.Why, func(a, b cause) int { return cmp.Compare(b.Of.Hits, a.Of.Hits) })
}
