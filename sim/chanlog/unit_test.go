package chanlog

import "testing"

// A number counts if it is right before the unit, or a separate word before it.
func TestMultipleOfFindsTheNumberBeforeTheUnit(t *testing.T) {
	for name, want := range map[string]string{
		"t10ms": "10", "x100us": "100", "time (0.1 s)": "0.1", "Time [1,5 · µs]": "1,5", "time_10_ms": "10", "1t1ms": "1", "10ms": "10",
		"time2 ms": "", "time": "", "ms": "", "time 10 (ms)": "", "t 1.2.3ms": "", "t .5ms": "", "t 5.ms": "", "10 volts ms": "", "": "",
	} {
		if _, got := multipleOf(name); got != want {
			t.Errorf("%q: got %q, want %q", name, got, want)
		}
	}
}
