package sim

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Micros is an instant or a duration in whole microseconds. An instant counts
// from the first row of a log (M0) and is not negative.
type Micros int64

// Units of time in microseconds.
const (
	Microsecond Micros = 1
	Millisecond        = 1000 * Microsecond
	Second             = 1000 * Millisecond
	Minute             = 60 * Second
	Hour               = 60 * Minute
)

// Never is a moment that never comes: the deadline of a stage that waits for
// input, or the wake time of a camera that no press wakes.
const Never Micros = math.MaxInt64

// MaxDuration limits every duration in a rig to a thousand hours, so that a time
// of a log plus a few durations cannot overflow.
const MaxDuration = 1000 * Hour

// Seconds returns m in seconds.
func (m Micros) Seconds() float64 { return float64(m) / 1e6 }

// Duration returns m as a [time.Duration].
func (m Micros) Duration() time.Duration { return time.Duration(m) * time.Microsecond }

// String writes m exactly, as in a rig file: "80ms", "1.5s", "250us", "0s";
// [Never] is "never".
func (m Micros) String() string {
	text := make([]byte, 0, 24)
	switch abs := max(m, -m); {
	case m == Never:
		return "never"
	case m == 0:
		return "0s"
	case abs >= Second:
		text = append(decimal(text, m, Second), "s"...)
	case abs >= Millisecond:
		text = append(decimal(text, m, Millisecond), "ms"...)
	default:
		text = append(decimal(text, m, Microsecond), "us"...)
	}
	return string(text)
}

// decimal appends m in the given unit, exactly and without trailing zeros.
func decimal(text []byte, m, unit Micros) []byte {
	if m < 0 {
		text, m = append(text, '-'), -m
	}
	text = strconv.AppendInt(text, int64(m/unit), 10)
	if rest := m % unit; rest != 0 {
		text = bytes.TrimRight(padded(text, '.', rest, unit), "0")
	}
	return text
}

// padded appends mark and then n with leading zeros, in as many digits as above,
// a power of ten, has zeros.
func padded(text []byte, mark byte, n, above Micros) []byte {
	at := len(text)
	text = strconv.AppendInt(text, int64(above+n), 10)
	text[at] = mark // replaces the leading 1, which kept the zeros
	return text
}

// Rounded writes a hold or a setting for people: "9.5 ms" below 10 ms, "2310 ms"
// below 10 s, else "12.4 s".
func (m Micros) Rounded() string {
	switch abs := max(m, -m); {
	case abs >= 10*Second-Millisecond/2:
		return m.in(Second, Second/10)
	case abs >= 10*Millisecond-Millisecond/20:
		return m.in(Millisecond, Millisecond)
	default:
		return m.in(Millisecond, Millisecond/10)
	}
}

// Signed writes m as Rounded does, with its sign: "+12 ms".
func (m Micros) Signed() string {
	if m < 0 {
		return m.Rounded()
	}
	return "+" + m.Rounded()
}

// Exact writes a hold with all its digits: "279.999 ms".
func (m Micros) Exact() string { return m.in(Millisecond, 1) }

// Readable writes a duration for people: "350 ms" below a second, "12.4 s" below
// a minute, else "2:24.5", or "2:24" for whole seconds.
func (m Micros) Readable() string {
	switch abs := max(m, -m); {
	case m == 0:
		return "0 s"
	case abs < Second-Millisecond/2:
		return m.Rounded()
	case abs < Minute-Second/20:
		return m.in(Second, Second/10)
	default:
		return strings.TrimSuffix(m.Clock(), ".0")
	}
}

// in writes m in the given unit, rounded to part.
func (m Micros) in(unit, part Micros) string {
	if m == Never {
		return "never"
	}
	name := " ms"
	if unit == Second {
		name = " s"
	}
	return string(append(decimal(make([]byte, 0, 24), roundTo(m, part), unit), name...))
}

// roundTo rounds m to a multiple of unit, halves away from zero.
func roundTo(m, unit Micros) Micros {
	if m < 0 {
		return -roundTo(-m, unit)
	}
	return (m + unit/2) / unit * unit
}

// Clock writes m as a time of a flight, "m:ss.t" or "h:mm:ss.t", rounded to a
// tenth of a second.
func (m Micros) Clock() string { return m.clock(Second / 10) }

// FineClock writes m as a time of a log, "m:ss.mmm" or "h:mm:ss.mmm", rounded to
// a millisecond.
func (m Micros) FineClock() string { return m.clock(Millisecond) }

func (m Micros) clock(part Micros) string {
	if m == Never {
		return "never"
	}
	text := make([]byte, 0, 24)
	if m < 0 {
		text, m = append(text, '-'), -m
	}
	m = roundTo(m, part)
	if hours := m / Hour; hours > 0 {
		text = padded(strconv.AppendInt(text, int64(hours), 10), ':', m%Hour/Minute, 100)
	} else {
		text = strconv.AppendInt(text, int64(m/Minute), 10)
	}
	text = padded(text, ':', m%Minute/Second, 100)
	return string(padded(text, '.', m%Second/part, Second/part))
}

// ParseDuration reads a duration such as "80ms", "1.2s", "250us" or "1m30s". It
// refuses a duration that is negative, longer than [MaxDuration] or not a whole
// number of microseconds.
func ParseDuration(text string) (Micros, error) {
	d, err := time.ParseDuration(text)
	if err != nil && overflows(text) {
		return 0, tooLong(text)
	}
	if err != nil {
		return 0, fmt.Errorf("found %.40q, want a number with a unit, such as \"80ms\", \"1.2s\" or \"250us\"", text)
	}
	switch {
	case d < 0:
		return 0, fmt.Errorf("found %.40q, want a duration that is not negative", text)
	case d%time.Microsecond != 0:
		return 0, fmt.Errorf("found %.40q, want a whole number of microseconds", text)
	case d > MaxDuration.Duration():
		return 0, tooLong(text)
	}
	return Micros(d / time.Microsecond), nil
}

// tooLong is the error for the text of a duration or time beyond the limit.
type tooLong string

func (text tooLong) Error() string {
	return fmt.Sprintf("found %.40q, want at most 1000h", string(text))
}

// overflows reports whether text would be a valid duration if its numbers were
// smaller.
func overflows(text string) bool {
	before := ' '
	short := strings.Map(func(r rune) rune {
		isDigit, follows := unicode.IsDigit(r), unicode.IsDigit(before)
		before = r
		if isDigit && follows {
			return -1
		}
		return r
	}, text)
	_, err := time.ParseDuration(short)
	return err == nil
}

// ParseClock reads a time of a log as people write it: "0:12.5", "1:02:03.25",
// or a duration such as "12.5s". It refuses digits below a microsecond and times
// beyond [MaxDuration].
func ParseClock(text string) (Micros, error) {
	duration, examples := text, "12.5s or 0:12.5"
	if strings.Contains(text, ":") {
		duration, examples = durationOfClock(text), "0:12.5 (minutes:seconds) or 1:02:03.25"
	}
	at, err := ParseDuration(duration)
	if _, long := err.(tooLong); long {
		return 0, tooLong(text)
	}
	if err != nil {
		return 0, fmt.Errorf("found %.40q, want a time such as %s", text, examples)
	}
	return at, nil
}

// clockForm is hours and minutes, or minutes alone; then seconds.
var clockForm = regexp.MustCompile(`^(?:(\d+):([0-5]?\d)|(\d+)):([0-5]?\d(?:\.\d{1,6})?)$`)

// durationOfClock writes "1:02:03.25" as "1h02m03.25s"; "" if text is no clock.
func durationOfClock(text string) string {
	part := clockForm.FindStringSubmatch(text)
	if part == nil {
		return ""
	}
	return cmp.Or(part[1], "0") + "h" + part[2] + part[3] + "m" + part[4] + "s"
}
