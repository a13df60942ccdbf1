package chanlog

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"flicktally/sim"
)

func TestWriterWritesACSVLog(t *testing.T) {
	var log bytes.Buffer
	w := NewWriter(&log, Extra{Armed: true})
	for _, s := range []sim.Sample{
		{At: 0, Channel: 1000, Armed: 1800},
		{At: 20000, Channel: 1500.25, Armed: sim.Absent},
		{At: 40000, Channel: sim.Absent, Armed: 988},
	} {
		if err := w.Write(s); err != nil {
			t.Fatal(err)
		}
	}
	want := "time_us,channel,armed\n0,1000,1800\n20000,1500.25,\n40000,,988\n"
	if log.String() != want {
		t.Errorf("got %q, want %q", log.String(), want)
	}
}

// A log of two columns needs no spec. As a record it keeps its times, however many
// rows share one.
func TestWrittenLogReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		armed := rapid.Bool().Draw(t, "armed")
		value := rapid.OneOf(
			rapid.Just(sim.Absent),
			rapid.Custom(func(t *rapid.T) sim.PulseWidth {
				// Plus 0, as -0 reads back as 0 when it is scaled.
				return sim.PulseWidth(rapid.Float64Range(-1e6, 1e6).Draw(t, "value")) + 0
			}),
		)
		var log bytes.Buffer
		w := NewWriter(&log, Extra{Armed: armed})
		var want strings.Builder
		at := sim.Micros(0)
		for i := range rapid.IntRange(1, 20).Draw(t, "samples") {
			s := sim.Sample{At: at, Channel: value.Draw(t, "channel"), Armed: value.Draw(t, "armed value")}
			if err := w.Write(s); err != nil {
				t.Fatal(err)
			}
			if i > 0 {
				want.WriteString(", ")
			}
			writeSample(&want, s, armed)
			at += sim.Micros(rapid.OneOf(rapid.Just(int64(0)), rapid.Int64Range(0, 1e9)).Draw(t, "step"))
		}
		columns := spec("", "", "")
		if armed {
			columns = spec("", "channel", "armed")
		}
		if out := read(log.Bytes(), Options{Spec: columns, Record: true}, plainWay); out.err != nil || out.rows != want.String() {
			t.Fatalf("%q: got %q, error %v, want %q", log.String(), out.rows, out.err, want.String())
		}
	})
}

type fullDisk struct{ err error }

func (d fullDisk) Write([]byte) (int, error) { return 0, d.err }

func TestWriterReturnsTheErrorOfTheStream(t *testing.T) {
	full := errors.New("no space left")
	if err := NewWriter(fullDisk{full}, Extra{}).Write(sim.Sample{}); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
}
