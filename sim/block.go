package sim

// Block is a run of samples of one segment of a log, as a reader delivers it.
type Block struct {
	Segment int // from 1
	// Start is the camera's state at the start of the segment; "" if the log does
	// not say, and that of the rig applies.
	Start StartState
	// Samples are valid until the next block is read; there is at least one.
	Samples []Sample
	// Omitted are the samples left out between them, in order; see [Thinning].
	// They are valid as long as the samples are.
	Omitted []Omission
}

// Omission says how many samples were left out just before the sample with
// index Before. If Before is the number of samples, they were left out at the
// end of the block.
type Omission struct{ Before, Samples int }

// Reading describes how a log was read.
type Reading struct {
	// Sender says which of the senders in a recording was read; "" for a log
	// without senders.
	Sender string
	Facts  []string // what was detected, and what became of every byte
	Odd    []string // what the user should look at
	// OnChange: samples were recorded only when the level changed, so their number
	// means nothing.
	OnChange bool
	// SkippedLines and TornLines count the lines that were left out.
	SkippedLines, TornLines int64
	// Began is when each of the first segments started, in µs since 1970: 0 for a
	// segment without a date, nil if no segment has one.
	Began []Micros
}

// Lines returns the sender and all facts, then the oddities as notes.
func (r Reading) Lines() []string {
	var lines []string
	if r.Sender != "" {
		lines = append(lines, r.Sender)
	}
	lines = append(lines, r.Facts...)
	for _, oddity := range r.Odd {
		lines = append(lines, "note: "+oddity)
	}
	return lines
}
