package chanlog

import (
	"io"
	"math"
	"strconv"

	"flicktally/sim"
)

// Writer writes samples as a log that a [Reader] reads back: CSV with the
// columns time_us, channel and, if asked for, armed. It writes every row at
// once and whole, so that what was written is a log at any moment.
type Writer struct {
	w     io.Writer
	armed bool
	line  []byte
	begun bool
}

// NewWriter returns a writer to w; armed says whether the log tells the armed
// channel too.
func NewWriter(w io.Writer, armed bool) *Writer { return &Writer{w: w, armed: armed} }

// Write writes a sample, the first time after the header. A value that is
// absent becomes an empty field. The error is that of the stream.
func (w *Writer) Write(s sim.Sample) error {
	w.line = w.line[:0]
	if !w.begun {
		w.line = append(w.line, "time_us,channel"...)
		if w.armed {
			w.line = append(w.line, ",armed"...)
		}
		w.line = append(w.line, '\n')
		w.begun = true
	}
	w.line = strconv.AppendInt(w.line, int64(s.At), 10)
	w.line = appendValue(w.line, s.Channel)
	if w.armed {
		w.line = appendValue(w.line, s.Armed)
	}
	_, err := w.w.Write(append(w.line, '\n'))
	return err
}

func appendValue(line []byte, v sim.PulseWidth) []byte {
	line = append(line, ',')
	if math.IsNaN(float64(v)) {
		return line
	}
	return strconv.AppendFloat(line, float64(v), 'f', -1, 64)
}
