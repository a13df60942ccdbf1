package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/chanlog"
)

// Cut writes the part of a log that lies in a span, as a log: the rows from the
// span's beginning to its end, both included, and before them the row whose
// value holds at the beginning. Times stay those of the log.
type Cut struct {
	out  *chanlog.Writer
	span sim.Span
	held sim.Sample
	has  bool // held is a row that was not written
	rows int
}

// NewCut returns a cut to w; armed says whether the log tells the armed
// channel.
func NewCut(w io.Writer, span sim.Span, armed bool) *Cut {
	return &Cut{out: chanlog.NewWriter(w, armed), span: span}
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

// Finish ends the cut, and returns how many rows it has.
func (c *Cut) Finish() (rows int, err error) {
	if c.has {
		c.has = false
		err = c.write(c.held)
	}
	return c.rows, err
}

func (c *Cut) write(s sim.Sample) error {
	c.rows++
	return c.out.Write(s)
}
