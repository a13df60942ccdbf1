package flight

import (
	"slices"

	"flicktally/sim"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// ComparedRig is one of the compared rigs.
type ComparedRig struct {
	Letter string // "A", "B", …
	File   string // of the rig
	Change string // what was changed in it, "" if nothing
	Rig    sim.Rig
	// Differs lists the keys that differ from the first.
	Differs []rigfile.Difference
}

// Name returns the file and what was changed in it.
func (e ComparedRig) Name() string {
	if e.Change != "" {
		return e.File + " with " + e.Change
	}
	return e.File
}

// Comparison is one segment of a log, replayed with every rig.
type Comparison struct {
	Rigs     []ComparedRig
	Flights  []Flight // one for each rig
	Outcomes []tell.Outcome
}

// Any reports whether one of the rigs has a finding of this kind.
func (c Comparison) Any(code tell.Code) bool {
	return slices.ContainsFunc(c.Outcomes, func(o tell.Outcome) bool { return o.Count(code) > 0 })
}

// Gains returns the stretches that are recorded with the rig at an index and not
// with the first, and those that are recorded with the first only.
func (c Comparison) Gains(i int) (gained, missed []sim.Span) {
	a, b := &c.Flights[0].Replay.Record, &c.Flights[i].Replay.Record
	return b.RecordedBeyond(a), a.RecordedBeyond(b)
}
