package chanlog

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os/exec"
	"slices"
	"strconv"
	"testing"

	"flicktally/sim"
	"flicktally/sim/chanlog/loggen"
)

// sums are the sums of a log, on which readers must agree.
type sums struct{ rows, times, values, presses int64 }

func (s sums) String() string {
	return fmt.Sprintf("%d %d %d %d\n", s.rows, s.times, s.values, s.presses)
}

// All readers agree on a log: this one in all its ways, encoding/csv and awk.
func TestSumsAgree(t *testing.T) {
	for _, columns := range []int{2, 3, 40} {
		log, made := makeLog(t, loggen.Shape{Columns: columns, Bytes: 5e5, Seed: 7})
		want := sumsByCSV(t, log)
		if want.rows != made.Rows || want.presses != made.Flicks {
			t.Fatalf("%d columns: encoding/csv has %v, made were %+v", columns, want, made)
		}
		for _, buffer := range []int{1000, 65536, defaultTuning.buffer} {
			for _, w := range []way{{}, {ahead: true}, {tuning: tuning{general: true}}} {
				w.tuning.buffer = buffer
				if got := sumsByReader(t, log, w); got != want {
					t.Errorf("%d columns, %+v: got %v, want %v", columns, w, got, want)
				}
				if presses := pressesWhenThinned(t, log, w); presses != want.presses {
					t.Errorf("%d columns, %+v, thinned: %d presses, want %d", columns, w, presses, want.presses)
				}
			}
		}
		t.Run(fmt.Sprint("awk of ", columns), func(t *testing.T) {
			if got := sumsByAwk(t, log); got != want.String() {
				t.Errorf("got %s, want %s", got, want)
			}
		})
	}
}

func sumsByReader(t *testing.T, log []byte, w way) (s sums) {
	samples, _, _, _, err := samplesOf(log, Options{Spec: spec("", "aux2", "")}, w)
	if err != io.EOF {
		t.Fatal(err)
	}
	for _, sample := range samples {
		s.rows++
		s.times += int64(sample.At)
		s.values += int64(sample.Channel)
	}
	s.presses = pressesOf(samples)
	return s
}

func pressesWhenThinned(t *testing.T, log []byte, w way) int64 {
	samples, _, _, _, err := samplesOf(log, Options{Spec: spec("", "aux2", ""), Thin: sim.NewThinning(sim.DefaultRig())}, w)
	if err != io.EOF {
		t.Fatal(err)
	}
	return pressesOf(samples)
}

func pressesOf(samples []sim.Sample) (presses int64) {
	down := false
	for _, sample := range samples {
		now := sample.Channel >= 1250
		if now && !down {
			presses++
		}
		down = now
	}
	return presses
}

func sumsByCSV(t *testing.T, log []byte) (s sums) {
	records, err := csv.NewReader(bytes.NewReader(log)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := slices.Index(records[0], "aux2")
	down := false
	for _, record := range records[1:] {
		time, err1 := strconv.ParseInt(record[0], 10, 64)
		value, err2 := strconv.ParseInt(record[at], 10, 64)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		s.rows++
		s.times += time
		s.values += value
		now := value >= 1250
		if now && !down {
			s.presses++
		}
		down = now
	}
	return s
}

func sumsByAwk(t *testing.T, log []byte) string {
	const program = `
NR == 1 { for (i = 1; i <= NF; i++) if ($i == "aux2") at = i; next }
{ rows++; times += $1; values += $at; now = $at >= 1250; if (now && !down) presses++; down = now }
END { printf "%d %.0f %d %d\n", rows, times, values, presses }`
	awk, err := exec.LookPath("awk")
	if err != nil {
		t.Skip(err)
	}
	cmd := exec.Command(awk, "-F,", program)
	cmd.Stdin = bytes.NewReader(log)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
