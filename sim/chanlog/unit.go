package chanlog

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"flicktally/sim"
)

// tick is the unit of a time: factor · 10^exponent µs.
type tick struct {
	factor   uint64 // at most 36 000
	exponent int
}

// ticks are the units of time by name.
var ticks = map[sim.TimeUnit]tick{
	sim.UnitNanos: {1, -3}, sim.UnitMicros: {1, 0}, sim.UnitMillis: {1, 3}, sim.UnitSeconds: {1, 6},
	sim.UnitMinutes: {6, 7}, sim.UnitHours: {36, 8},
}

// micros returns the tick in µs; 0 if it is less than 1, or too large.
func (t tick) micros() uint64 {
	if t.exponent < 0 || t.exponent > 12 {
		return 0
	}
	return t.factor * powers[t.exponent]
}

// digits returns how many more digits a whole number of ticks can have in µs.
func (t tick) digits() int {
	if t.factor == 1 {
		return t.exponent
	}
	return t.exponent + len(fmt.Sprint(t.factor))
}

// times returns the tick that is n ticks long, if it is a plausible one.
func (t tick) times(n number) (tick, bool) {
	hi, factor := bits.Mul64(t.factor, n.mantissa)
	t.factor, t.exponent = factor, t.exponent+n.exponent
	if hi != 0 || factor == 0 || n.truncated {
		return tick{}, false
	}
	for t.factor%10 == 0 {
		t.factor /= 10
		t.exponent++
	}
	return t, t.factor <= 36_000 && t.exponent >= -9 && t.exponent <= 12
}

var unitWords = map[string]sim.TimeUnit{
	"ns": sim.UnitNanos, "nsec": sim.UnitNanos, "nanos": sim.UnitNanos, "nanosecond": sim.UnitNanos, "nanoseconds": sim.UnitNanos,
	"us": sim.UnitMicros, "usec": sim.UnitMicros, "usecs": sim.UnitMicros, "µs": sim.UnitMicros, "μs": sim.UnitMicros,
	"micros": sim.UnitMicros, "microsecond": sim.UnitMicros, "microseconds": sim.UnitMicros,
	"ms": sim.UnitMillis, "msec": sim.UnitMillis, "msecs": sim.UnitMillis,
	"millis": sim.UnitMillis, "millisecond": sim.UnitMillis, "milliseconds": sim.UnitMillis,
	"s": sim.UnitSeconds, "sec": sim.UnitSeconds, "secs": sim.UnitSeconds, "second": sim.UnitSeconds, "seconds": sim.UnitSeconds,
	"min": sim.UnitMinutes, "mins": sim.UnitMinutes, "minute": sim.UnitMinutes, "minutes": sim.UnitMinutes,
	"h": sim.UnitHours, "hour": sim.UnitHours, "hours": sim.UnitHours,
}

// unitTick returns the tick of a unit by any of its names.
func unitTick(word string) (tick, bool) {
	unit, ok := unitWords[strings.ToValidUTF8(word, "µ")]
	return ticks[unit], ok
}

var timeWords = map[string]bool{"time": true, "t": true, "timestamp": true, "datetime": true, "elapsed": true, "clock": true}

// unitOf returns the unit of time that a header names, with its multiple. ok is
// false if it names none or several.
func unitOf(name string) (text string, t tick, ok bool) {
	var unit sim.TimeUnit
	for _, word := range words(name) {
		if u, is := unitWords[word]; is {
			if unit != "" && unit != u {
				return "", tick{}, false
			}
			unit = u
		}
	}
	if unit == "" {
		return "", tick{}, false
	}
	text, t = string(unit), ticks[unit]
	if !strings.ContainsAny(name, "0123456789") {
		return text, t, true
	}
	if n, multiple := multipleOf(name); multiple != "" {
		t, ok = t.times(n)
		return multiple + " " + text, t, ok
	}
	return text, t, true
}

// multipleOf returns the number before the unit in a header; "" if there is
// none. The number is right before the unit, as in "t10ms" and "x100us", or a
// separate word, as in "time (0.1 s)". The 2 in "time2 ms" is neither.
func multipleOf(name string) (n number, text string) {
	const digits, marks, between = "0123456789", ".,", " _*·"
	rest, before := strings.ToValidUTF8(name, "µ"), ' '
	for {
		at := strings.IndexAny(rest, digits)
		if at < 0 {
			return number{}, ""
		}
		if at > 0 {
			before, _ = utf8.DecodeLastRuneInString(rest[:at])
		}
		text, rest = leading(rest[at:], func(r rune) bool { return strings.ContainsRune(digits+marks, r) })
		behind := rest
		if !unicode.IsLetter(before) {
			behind = strings.TrimLeft(rest, between)
		}
		unit, _ := leading(behind, unicode.IsLetter)
		_, is := unitWords[fold(unit)]
		n, isNumber := parseNumber([]byte(text), true)
		if is && isNumber && !strings.ContainsRune(marks, before) && strings.TrimRight(text, marks) == text {
			return n, text
		}
		before = '0'
	}
}

// leading splits a text after its leading runes of a kind.
func leading(text string, is func(rune) bool) (these, rest string) {
	rest = strings.TrimLeftFunc(text, is)
	return text[:len(text)-len(rest)], rest
}

// readsAsTime reports whether a header says that its column is a time, and
// whether it names the unit.
func readsAsTime(name string) (is, withUnit bool) {
	for _, word := range words(name) {
		is = is || timeWords[word]
	}
	if is {
		_, _, withUnit = unitOf(name)
	}
	return is, withUnit
}

// readsAsDate reports whether a header says that its column is a date without a
// time.
func readsAsDate(name string) bool {
	all := words(name)
	isTime := slices.ContainsFunc(all, func(word string) bool { return timeWords[word] })
	return !isTime && (slices.Contains(all, "date") || slices.Contains(all, "day"))
}

// words splits a header at everything that is not a letter, and between a small
// letter and a capital, as in "timeMs". The words are in lower case.
func words(name string) []string {
	var out []string
	var word strings.Builder
	small := false
	// An invalid byte in a header is usually the micro sign of Latin-1.
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
