package export

import "flicktally/sim"

// Cut hands on the part of a log that lies in a span: the samples from the
// span's beginning to its end, both included, and before them the one whose
// value holds at the beginning. Times stay those of the log.
type Cut struct {
	write func(sim.Sample) error
	span  sim.Span
	held  sim.Sample
	has   bool // held is a sample that was not handed on
}

// NewCut returns a cut; write takes what is in it. Errors are those of write.
func NewCut(span sim.Span, write func(sim.Sample) error) *Cut {
	return &Cut{write: write, span: span}
}

// Feed takes the next sample.
func (c *Cut) Feed(s sim.Sample) error {
	switch {
	case s.At > c.span.To:
		return nil
	case s.At < c.span.From:
		c.held, c.has = s, true
		return nil
	case s.At > c.span.From && c.has:
		c.has = false
		if err := c.write(c.held); err != nil {
			return err
		}
	}
	c.has = false
	return c.write(s)
}

// Finish ends the cut.
func (c *Cut) Finish() error {
	if !c.has {
		return nil
	}
	c.has = false
	return c.write(c.held)
}
