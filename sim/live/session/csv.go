package session

import (
	"bytes"
	"strings"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/excerpt"
	"flicktally/sim/source"
)

// rows reads CSV row by row. It leaves out lines that it cannot read, and detects
// the columns again if they change.
type rows struct {
	r       *receiver
	opts    source.Options
	cutter  rowCutter
	decoder *decoder
	now     sim.Micros
	midway  bool // the next line may lack its start

	waiting int64      // lines in the decoder that have given no sample yet
	skipped int64      // lines that the decoder left out
	problem error      // of the first line that could not be read
	tries   int        // decoders that failed within the current second
	triedAt sim.Micros // when that second began
	resting bool       // too many have failed in it
	// latePast and brokenPast count late and broken rows of earlier decoders.
	latePast, brokenPast int64
}

// mostTries is how many times a second the columns are searched for.
const mostTries = 20

func newRows(r *receiver, opts source.Options) *rows {
	opts.Lenient, opts.Live = true, true
	return &rows{r: r, opts: opts, decoder: newDecoder(r.name, opts), midway: r.opts.midway}
}

func (c *rows) stop() { c.decoder.stop() }

func (c *rows) take(now sim.Micros, a arrival) {
	c.now = now
	if a.torn {
		c.cutter.tear(c.line)
		c.midway = c.r.opts.midway
	}
	c.cutter.cut(a.data, a.rows, c.line)
}

// line takes a line; an incomplete one is left out.
func (c *rows) line(line []byte, whole bool) {
	midway := c.midway
	c.midway = false
	switch {
	case len(bytes.TrimSpace(line)) == 0:
	case !whole || midway && looksLikeRow(line) || !mayBeRow(line):
		c.leaveOut(line)
	default:
		c.push(line)
	}
}

// looksLikeRow reports whether a line is a row, rather than a header.
func looksLikeRow(line []byte) bool {
	return strings.IndexByte("0123456789+-.,;\t", bytes.TrimLeft(line, " ")[0]) >= 0
}

// mayBeRow reports whether a line may be a row. Rows of live input have no zero
// byte and no quote that continues on the next line, which would spoil later rows.
func mayBeRow(line []byte) bool {
	return bytes.IndexByte(line, 0) < 0 && bytes.Count(line, []byte{'"'})%2 == 0
}

// push gives a line to the decoder. If that fails, a new decoder searches for the
// columns, starting with this line.
func (c *rows) push(line []byte) {
	if c.resting && c.now-c.triedAt < sim.Second {
		c.leaveOut(line)
		return
	}
	c.resting = false
	err := c.give(line)
	if err == nil {
		return
	}
	if c.problem == nil && c.r.samples == 0 {
		c.problem = err
	}
	c.renew()
	if c.give(line) != nil {
		c.renew()
		c.leaveOut(line)
	}
}

// give gives a line to the decoder and records the result.
func (c *rows) give(line []byte) error {
	before := c.decoder.rows
	c.waiting++
	err := c.decoder.push(line, func(b sim.Block) { c.r.block(c.now, c.decoder, b) })
	if c.decoder.rows > before {
		c.waiting = 0
	}
	if err != nil {
		c.waiting--
		return err
	}
	if c.decoder.src == nil {
		return nil
	}
	if skipped := c.decoder.src.Skipped(); skipped > c.skipped {
		c.skipped = skipped
		c.leaveOut(line)
	}
	return nil
}

// countMisplaced counts rows whose times are out of place.
func (c *rows) countMisplaced() {
	sum, is := c.decoder.summary().(chanlog.Summary)
	if !is {
		return
	}
	late, broken := c.latePast+sum.Late.Lines, c.brokenPast+sum.Broken.Lines
	c.r.s.count(func(of *counts) { of.late, of.misplaced = late, broken })
}

// renew replaces the decoder. Lines from which the old one made no sample are left
// out.
func (c *rows) renew() {
	c.r.flush(c.now)
	if sum, is := c.decoder.summary().(chanlog.Summary); is {
		c.latePast += sum.Late.Lines
		c.brokenPast += sum.Broken.Lines
	}
	c.decoder.stop()
	if c.decoder.rows == 0 && c.waiting > 0 {
		c.r.s.leaveOutRows(c.waiting, "of columns that are not known")
	}
	c.decoder = newDecoder(c.r.name, c.opts)
	c.waiting, c.skipped = 0, 0
	if c.now-c.triedAt >= sim.Second {
		c.tries, c.triedAt = 0, c.now
	}
	c.tries++
	c.resting = c.tries > mostTries
}

func (c *rows) leaveOut(line []byte) {
	text := excerpt.Quote(bytes.TrimRight(line, "\r\n"))
	c.r.flush(c.now) // the rows before it
	c.r.s.leaveOutRows(1, text)
}

// end handles the end of the input. If there was no row, the error says why.
func (c *rows) end(now sim.Micros) error {
	c.now = now
	rest := c.cutter.begun
	each := func(b sim.Block) { c.r.block(now, c.decoder, b) }
	var err error
	if len(rest) > 0 {
		err = c.decoder.push(rest, each)
	}
	if err == nil {
		err = c.decoder.end(each)
	}
	switch {
	case c.r.samples > 0:
		return nil
	case c.problem != nil:
		return c.problem
	default:
		return err
	}
}
