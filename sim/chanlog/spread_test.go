package chanlog

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"flicktally/sim"
)

// A clock is coarse if most rows share their instant and its step leaves time for
// each of them.
func TestRowsOfACoarseClockAreSpread(t *testing.T) {
	for _, test := range []struct {
		name, header, times string
		step                sim.Micros
		want                string
	}{
		{"three rows a step", "time_ms", "0 0 0 100 100 100 200", 100 * sim.Millisecond, "0 33333 66666 100000 133333 166666 200000"},
		{"two rows of three", "time_ms", "0 0 100 200 200 300 400 400", 100 * sim.Millisecond, "0 50000 100000 200000 250000 300000 400000 450000"},
		{"a unit that is not named", "t", "0 0 0 0 1 1 1 1", sim.Second, "0 250000 500000 750000 1000000 1250000 1500000 1750000"},
		{"a pause", "time_ms", "0 0 0 5000 5000 5100", 100 * sim.Millisecond, "0 33333 66666 5000000 5050000 5100000"},
		{"half of the rows", "time_ms", "0 0 100 200 200 300 400 500", 0, "0 0 100000 200000 200000 300000 400000 500000"},
		{"rows that came at once", "time_us", "0 0 0 0 2", 0, "0 0 0 0 2"},
		{"one instant", "time_ms", "7 7 7 7 7", 0, "0 0 0 0 0"},
		{"too few to tell", "time_ms", "0 0 100 100", 0, "0 0 100000 100000"},
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, w := range ways {
				out := read(rowsAt(test.header, strings.Fields(test.times)), Options{Spec: spec("", "aux2", "")}, w)
				want := strings.ReplaceAll(test.want, " ", " 988.5, ") + " 988.5"
				if out.err != nil || out.rows != want || out.sum.Spread != test.step {
					t.Errorf("%+v: got %q, a step of %v, error %v, want %q, %v", w, out.rows, out.sum.Spread, out.err, want, test.step)
				}
			}
		})
	}
}

// A log that was spread is not spread again.
func TestASpreadLogHasNoCoarseClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := int64(0)
		var times []string
		for range rapid.IntRange(1, 90).Draw(t, "rows") {
			times = append(times, fmt.Sprint(at))
			at += rapid.SampledFrom([]int64{0, 0, 0, 0, 1, 10, 20, 1000}).Draw(t, "step")
		}
		opts := Options{Spec: spec("", "aux2", "")}
		first := read(rowsAt("time_us", times), opts, plainWay)
		spread := strings.Split(strings.ReplaceAll(first.rows, " 988.5", ""), ", ")
		if again := read(rowsAt("time_us", spread), opts, plainWay); again.err != nil || again.rows != first.rows {
			t.Fatalf("%v: got %q and then %q, error %v", times, first.rows, again.rows, again.err)
		}
	})
}

// No row of a coarse clock is left out, and all ways of reading spread them alike.
func TestRowsOfACoarseClockAreNotThinned(t *testing.T) {
	thin := sim.NewThinning(sim.DefaultRig())
	rapid.Check(t, func(t *rapid.T) {
		var log strings.Builder
		log.WriteString(rapid.SampledFrom([]string{"time_ms,aux2\n", "time_ms,aux2,volts\n"}).Draw(t, "header"))
		behind := strings.Repeat(",16.2", strings.Count(log.String(), ",")-1)
		at := 0
		for range rapid.IntRange(1, 50).Draw(t, "instants") {
			for range rapid.IntRange(2, 6).Draw(t, "rows") {
				fmt.Fprintf(&log, "%d,%d%s\n", at, rapid.SampledFrom([]int{1000, 1001, 2000}).Draw(t, "value"), behind)
			}
			at += rapid.SampledFrom([]int{100, 100, 100, 200, 700}).Draw(t, "step")
		}
		opts := Options{Spec: spec("", "aux2", "")}
		all := read([]byte(log.String()), opts, plainWay)
		opts.Thin = thin
		if d := all.differs(read([]byte(log.String()), opts, genWay(t))); d != "" || all.err != nil {
			t.Fatalf("%q: %s, error %v", log.String(), d, all.err)
		}
	})
}

func rowsAt(header string, times []string) []byte {
	return []byte(header + ",aux2\n" + strings.Join(times, ",988.5\n") + ",988.5\n")
}
