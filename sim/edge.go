package sim

// Sample is one row of a log or one frame of a stream: the channel's value and,
// where the log tells, the armed channel's, at a time. A value that was not
// there is NaN ([Absent]); [Lost] says that the signal is lost.
type Sample struct {
	At      Micros
	Channel PulseWidth
	Armed   PulseWidth
}

// Edge is a change of a two-valued signal at an instant: to pressed, or to
// released. A step hands on at most one edge per instant, in order of time.
type Edge struct {
	At      Micros
	Pressed bool
	// Flick is the number of the flick whose move is behind this edge; 0 where
	// no move is: at t = 0, where a lost signal made it, at the end of a pulse.
	Flick int32
	// Unseen is how much earlier the movement behind this edge may have
	// happened: the time since the last valid sample before it. 0 for an edge
	// that the model makes itself.
	Unseen Micros
}

// Span is a stretch of time [From, To).
type Span struct{ From, To Micros }

// Length returns how long the span is.
func (s Span) Length() Micros { return s.To - s.From }

// Contains reports whether at lies in the span.
func (s Span) Contains(at Micros) bool { return at >= s.From && at < s.To }
