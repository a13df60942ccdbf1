package sim

// Sample is one row of a log or one frame of a stream: the value of the channel
// at a time and, if the log has it, that of the armed channel. A missing value
// is NaN ([Absent]); [Lost] says that the signal is lost.
type Sample struct {
	At      Micros
	Channel PulseWidth
	Armed   PulseWidth
}

// Edge is a change of a two-valued signal at an instant: to pressed, or to
// released. A stage passes on at most one edge per instant, in order of time.
type Edge struct {
	At      Micros
	Pressed bool
	// Flick is the number of the flick whose move caused this edge; 0 if no move
	// did: at t = 0, after a lost signal, at the end of a pulse.
	Flick int32
	// Unseen is how much earlier the move behind this edge may have happened:
	// the time since the previous valid sample; 0 for an edge that the model
	// made.
	Unseen Micros
}

// Span is a stretch of time [From, To).
type Span struct{ From, To Micros }

// Length returns the duration of the span.
func (s Span) Length() Micros { return s.To - s.From }

// Contains reports whether at lies in the span.
func (s Span) Contains(at Micros) bool { return at >= s.From && at < s.To }
