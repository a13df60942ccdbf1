package flight

import (
	"flicktally/sim"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// Entrant is one of the compared rigs.
type Entrant struct {
	Letter string // "A", "B", …
	File   string // of the rig
	Change string // what was changed in it, "" if nothing
	Rig    sim.Rig
	// Differs lists the keys that differ from the first.
	Differs []rigfile.Difference
}

// Name returns the file and what was changed in it.
func (e Entrant) Name() string {
	if e.Change != "" {
		return e.File + " with " + e.Change
	}
	return e.File
}

// Contest is one segment of a log, replayed with every rig.
type Contest struct {
	Entrants []Entrant
	Flights  []Flight // one for each entrant
	Outcomes []tell.Outcome
}

// Any reports whether one of the rigs has a finding of this kind.
func (c Contest) Any(code tell.Code) bool {
	for _, o := range c.Outcomes {
		if o.Count(code) > 0 {
			return true
		}
	}
	return false
}

// Gains returns the stretches that the rig with this index records and the
// first does not, and the other way round.
func (c Contest) Gains(i int) (gained, missed []sim.Span) {
	a, b := &c.Flights[0].Replay.Record, &c.Flights[i].Replay.Record
	return b.RecordedBeyond(a), a.RecordedBeyond(b)
}
