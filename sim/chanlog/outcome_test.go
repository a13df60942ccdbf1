package chanlog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"flicktally/sim"
)

// spec returns a log spec with the given columns; "" keeps the default.
func spec(time, channel, armed string) sim.LogSpec {
	s := sim.DefaultRig().Log
	if time != "" {
		s.Time = time
	}
	s.Channel, s.Armed = channel, armed
	return s
}

// outcome is everything that a reader returns about a log.
type outcome struct {
	// rows are written as "time channel" or "time channel armed". "-" is an absent
	// value; " | " is between segments.
	rows string
	sum  Summary
	err  error // nil for io.EOF
}

// way is how a log is read, which must not make a difference.
type way struct {
	tuning
	ahead  bool
	reader func(io.Reader) io.Reader
}

var plainWay = way{tuning: defaultTuning}

func read(log []byte, opts Options, w way) outcome {
	var in io.Reader = bytes.NewReader(log)
	if w.reader != nil {
		in = w.reader(in)
	}
	// Every piece makes the reader examine an unfinished line again.
	w.tuning.buffer = max(w.tuning.buffer, len(log)/100)
	opts.Ahead = w.ahead
	r := newReader(in, "heron.csv", opts, w.tuning)
	defer r.Close()
	var out outcome
	var text strings.Builder
	segment := 1
	for {
		block, err := r.Next()
		if err != nil {
			out.err = err
			break
		}
		for i, s := range block.Samples {
			switch {
			case i == 0 && block.Segment != segment:
				segment = block.Segment
				text.WriteString(" | ")
			case text.Len() > 0:
				text.WriteString(", ")
			}
			writeSample(&text, s, opts.Spec.Armed != "")
		}
	}
	if out.err == io.EOF {
		out.err = nil
	}
	out.rows, out.sum = text.String(), r.Summary()
	return out
}

func writeSample(w io.Writer, s sim.Sample, armed bool) {
	fmt.Fprintf(w, "%d %s", s.At, value(s.Channel))
	if armed {
		fmt.Fprintf(w, " %s", value(s.Armed))
	}
}

func value(v sim.PulseWidth) string {
	if math.IsNaN(float64(v)) {
		return "-"
	}
	return fmt.Sprint(float64(v))
}

// syntaxError returns the error of a log that must have one.
func syntaxError(t *testing.T, out outcome) *SyntaxError {
	t.Helper()
	var e *SyntaxError
	if !errors.As(out.err, &e) {
		t.Fatalf("got error %v, want one with a place", out.err)
	}
	return e
}
