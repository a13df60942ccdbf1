package export

import "flicktally/sim"

// Cut passes on the part of a log within a span: the samples from its start to
// its end, both included, preceded by the sample whose value holds at the
// start. Times stay those of the log.
type Cut struct {
	write func(sim.Sample) error
	span  sim.Span
	held  sim.Sample
	has   bool // held is a sample not passed on yet
}

// NewCut returns a cut that passes its samples to write and returns the errors
// of write.
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
