package sim

// Block is a run of samples of one segment of a log, as a reader hands it on.
type Block struct {
	Segment int // from 1
	// Start is the camera's state at the beginning of the segment, where the log tells
	// it; "" leaves it to the rig.
	Start StartState
	// Samples are valid until the reader is asked for the next block; never empty.
	Samples []Sample
	// Omitted are the samples that were left out between them, in order; see
	// [Thinning]. They are valid as long as the samples are.
	Omitted []Omission
}

// Omission says how many samples were left out before one of a block; before the
// first of the next block where Before is the number of its samples.
type Omission struct{ Before, Samples int }

// Reading tells how a log was read.
type Reading struct {
	Facts []string // what was found out, and where every byte went
	Odd   []string // what a person should look at
	// OnChange says that samples were recorded when the level changed and at no
	// other time, so that their number means nothing.
	OnChange bool
	// SkippedLines and TornLines count the lines that were left out.
	SkippedLines, TornLines int64
	// Began is when the first segments began, in µs since 1970, by a log whose times
	// have a date; 0 for a segment that has none, nil where no log could.
	Began []Micros
}

// Lines returns all there is to say, fact by fact.
func (r Reading) Lines() []string {
	lines := append([]string(nil), r.Facts...)
	for _, oddity := range r.Odd {
		lines = append(lines, "note: "+oddity)
	}
	return lines
}
