package chanlog

import (
	"fmt"
	"strings"
	"unicode"

	"flicktally/sim"
)

// timeUnit returns the unit of the time column.
func (r resolver) timeUnit(out resolved) (sim.TimeUnit, How, *misfit) {
	if r.spec.Unit != sim.UnitAuto {
		return r.spec.Unit, HowGiven, nil
	}
	if r.names == nil {
		return sim.UnitMicros, HowAssumed, nil
	}
	unit, foreign := unitOf(r.names[out.time])
	switch {
	case foreign != "":
		return "", "", &misfit{found: fmt.Sprintf("a time in %q, column %s", foreign, quoteShort(r.names[out.time])),
			want: "us, ms or s", hint: `convert it; or, if the header errs, say which it is: unit = "us" under [log]`}
	case unit == "":
		return sim.UnitMicros, HowAssumed, nil
	}
	return unit, HowHeader, nil
}

var unitWords = map[string]sim.TimeUnit{
	"us": sim.UnitMicros, "usec": sim.UnitMicros, "usecs": sim.UnitMicros, "µs": sim.UnitMicros, "μs": sim.UnitMicros,
	"micros": sim.UnitMicros, "microsecond": sim.UnitMicros, "microseconds": sim.UnitMicros,
	"ms": sim.UnitMillis, "msec": sim.UnitMillis, "msecs": sim.UnitMillis,
	"millis": sim.UnitMillis, "millisecond": sim.UnitMillis, "milliseconds": sim.UnitMillis,
	"s": sim.UnitSeconds, "sec": sim.UnitSeconds, "secs": sim.UnitSeconds, "second": sim.UnitSeconds, "seconds": sim.UnitSeconds,
}

// foreignUnits are units of time that a log may have and the reader does not
// take: to assume µs then would be wrong by orders of magnitude.
var foreignUnits = map[string]bool{
	"ns": true, "nsec": true, "nanos": true, "nanoseconds": true,
	"min": true, "mins": true, "minutes": true, "h": true, "hours": true,
}

var timeWords = map[string]bool{"time": true, "t": true, "timestamp": true, "elapsed": true, "clock": true}

// unitOf returns the one unit of time that a header names, "" if it names none
// or several; foreign is one that is not taken.
func unitOf(name string) (unit sim.TimeUnit, foreign string) {
	for _, word := range words(name) {
		if foreignUnits[word] {
			foreign = word
		}
		if u, ok := unitWords[word]; ok {
			if unit != "" && unit != u {
				return "", ""
			}
			unit = u
		}
	}
	if unit != "" {
		foreign = ""
	}
	return unit, foreign
}

// readsAsTime reports whether a header says that its column is a time, and in
// which unit.
func readsAsTime(name string) bool {
	unit, _ := unitOf(name)
	if unit == "" {
		return false
	}
	for _, word := range words(name) {
		if timeWords[word] {
			return true
		}
	}
	return false
}

// words cuts a header at everything that is no letter, and where a small
// letter is followed by a capital one: "timeMs", "Time [ms]", "time_ms".
func words(name string) []string {
	var out []string
	var word strings.Builder
	small := false
	// What is not UTF-8 in a header is, as a rule, the micro sign of Latin-1.
	for _, r := range strings.ToValidUTF8(name, "µ") + " " {
		if !unicode.IsLetter(r) || small && unicode.IsUpper(r) {
			if word.Len() > 0 {
				out = append(out, strings.ToLower(word.String()))
			}
			word.Reset()
		}
		if unicode.IsLetter(r) {
			word.WriteRune(r)
		}
		small = unicode.IsLower(r)
	}
	return out
}
