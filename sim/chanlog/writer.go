package chanlog

import (
	"io"
	"math"
	"strconv"

	"flicktally/sim"
)

// Writer writes samples as a log that a [Reader] reads back: CSV with the
// columns time_us, channel and any extra ones. It writes each row as a whole, so
// that the output is a log at any moment.
type Writer struct {
	w     io.Writer
	extra Extra
	line  []byte
	begun bool
}

// Extra says which columns a log has besides the time and the channel.
type Extra struct {
	Armed    bool
	Failsafe bool // 1 where the signal is lost ([sim.Lost]), else 0
}

// NewWriter returns a writer to w.
func NewWriter(w io.Writer, extra Extra) *Writer { return &Writer{w: w, extra: extra} }

// Begin writes the header, unless it is already written.
func (w *Writer) Begin() error {
	_, err := w.w.Write(w.appendHeader(nil))
	return err
}

// appendHeader appends the header if it is not yet written.
func (w *Writer) appendHeader(line []byte) []byte {
	if w.begun {
		return line
	}
	w.begun = true
	line = append(line, "time_us,channel"...)
	if w.extra.Armed {
		line = append(line, ",armed"...)
	}
	if w.extra.Failsafe {
		line = append(line, ",failsafe"...)
	}
	return append(line, '\n')
}

// Write writes a sample, and before the first one the header. An absent value
// becomes an empty field. The error is that of the stream.
func (w *Writer) Write(s sim.Sample) error {
	w.line = w.appendHeader(w.line[:0])
	w.line = strconv.AppendInt(w.line, int64(s.At), 10)
	w.line = appendValue(w.line, s.Channel)
	if w.extra.Armed {
		w.line = appendValue(w.line, s.Armed)
	}
	if w.extra.Failsafe {
		lost := sim.PulseWidth(0)
		if s.Channel == sim.Lost {
			lost = 1
		}
		w.line = appendValue(w.line, lost)
	}
	_, err := w.w.Write(append(w.line, '\n'))
	return err
}

func appendValue(line []byte, v sim.PulseWidth) []byte {
	line = append(line, ',')
	if math.IsNaN(float64(v)) || v == sim.Lost {
		return line
	}
	return strconv.AppendFloat(line, float64(v), 'f', -1, 64)
}
