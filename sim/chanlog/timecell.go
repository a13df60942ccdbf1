package chanlog

import (
	"bytes"
	"time"

	"flicktally/sim"
)

// timeForm is the form of the time cells.
type timeForm struct {
	kind  timeKind
	tick  tick      // of numbers
	order dateOrder // of dates
}

type timeKind int

const (
	timeNumber timeKind = iota
	timeClock           // of the day, 11:03:56.470; or of the hour, 03:56.5
	timeDated           // a date and a clock: ISO 8601, RFC 3339 and the like
)

// String names the kind for the summary.
func (k timeKind) String() string { return [...]string{"numbers", "a clock", "a date with a clock"}[k] }

// example returns an example of a cell of the kind.
func (k timeKind) example() string {
	return [...]string{"a time", "a time such as 11:03:56.470", "a time such as 2026-05-03 11:03:56.470"}[k]
}

const dayMicros = int64(24 * sim.Hour)

// parse reads a cell in µs, as the log counts them.
func (f timeForm) parse(text []byte, comma bool) (int64, bool) {
	switch f.kind {
	case timeClock:
		c, ok := parseClock(text, comma)
		return c.micros, ok
	case timeDated:
		return parseDated(text, f.order, comma)
	}
	n, ok := parseNumber(text, comma)
	t := f.tick
	if !ok {
		if n, t, ok = parseMeasured(text, comma); !ok {
			return 0, false
		}
	}
	return n.micros(t)
}

// parseMeasured reads a number with a unit of time after it: "1.0 s", "20ms".
func parseMeasured(text []byte, comma bool) (n number, t tick, ok bool) {
	digits := bytes.TrimRightFunc(text, func(r rune) bool { return r > '9' || r == ' ' })
	if len(digits) == len(text) {
		return number{}, tick{}, false
	}
	if t, ok = unitTick(fold(string(text[len(digits):]))); ok {
		n, ok = parseNumber(digits, comma)
	}
	return n, t, ok
}

// clockCell is the value of a clock.
type clockCell struct {
	micros   int64
	seconds  int64 // of the minute, in µs
	parts    int   // 2: minutes and seconds; 3: hours too
	decimals int   // of the seconds
}

// parseClock reads [h:]m:ss[.f]; fractions below 1 µs are rounded.
func parseClock(text []byte, comma bool) (c clockCell, ok bool) {
	at, seconds, last := 0, int64(0), int64(0)
	for {
		value, digits := wholeNumber(text[at:])
		at += digits
		if digits == 0 || digits > 6 || c.parts > 0 && (digits != 2 || value > 60) {
			return c, false
		}
		seconds, last = seconds*60+value, value
		c.parts++
		if at == len(text) || text[at] != ':' {
			break
		}
		if c.parts == 3 || c.parts == 2 && value > 59 {
			return c, false
		}
		at++
	}
	c.micros = seconds * int64(sim.Second)
	ok = c.parts > 1 && c.takeFraction(text[at:], comma)
	c.seconds = last*int64(sim.Second) + c.micros - seconds*int64(sim.Second)
	return c, ok
}

// takeFraction adds what follows whole seconds: nothing, or a mark and digits.
func (c *clockCell) takeFraction(text []byte, comma bool) (ok bool) {
	if len(text) == 0 {
		return true
	}
	if text[0] != '.' && !(comma && text[0] == ',') {
		return false
	}
	place := int64(sim.Second)
	for i, digit := range text[1:] {
		switch {
		case digit < '0' || digit > '9':
			return false
		case place > 1:
			place /= 10
			c.micros += int64(digit-'0') * place
		case i == 6 && digit >= '5':
			c.micros++
		}
	}
	c.decimals = len(text) - 1
	return c.decimals > 0
}

// wholeNumber reads the digits at the start of a text.
func wholeNumber(text []byte) (value int64, digits int) {
	for digits < len(text) && digits < 10 && text[digits]-'0' <= 9 {
		value = value*10 + int64(text[digits]-'0')
		digits++
	}
	return value, digits
}

// dateOrder is the order of the numbers in a date that does not start with the
// year.
type dateOrder int

const (
	dayFirst dateOrder = iota
	monthFirst
	// orderOpen: day and month are ambiguous. The dates are not used, and the
	// clock is unwrapped at midnight.
	orderOpen
)

// dateCell is a date as written.
type dateCell struct {
	numbers   [3]int64
	mark      byte // between them; 0 = none
	yearFirst bool
	size      int
}

// leadingDate reads the date at the start of a text: three numbers with the
// same mark between them, or eight digits. The year is the first of them if it
// has four digits, else the last.
func leadingDate(text []byte) (d dateCell, ok bool) {
	first, digits := wholeNumber(text)
	if digits == 8 {
		return dateCell{[3]int64{first / 10000, first / 100 % 100, first % 100}, 0, true, 8}, true
	}
	if digits != 1 && digits != 2 && digits != 4 || digits == len(text) {
		return d, false
	}
	d = dateCell{numbers: [3]int64{first}, mark: text[digits], yearFirst: digits == 4, size: digits}
	if d.mark != '-' && d.mark != '/' && d.mark != '.' {
		return d, false
	}
	for i := 1; i < 3; i++ {
		if d.size == len(text) || text[d.size] != d.mark {
			return d, false
		}
		number, more := wholeNumber(text[d.size+1:])
		if more != 1 && more != 2 && (more != 4 || i == 1 || d.yearFirst) {
			return d, false
		}
		d.numbers[i] = number
		d.size += 1 + more
	}
	return d, true
}

// days returns the date as days since 1970.
func (d dateCell) days(order dateOrder) (int64, bool) {
	year, month, day := d.numbers[0], d.numbers[1], d.numbers[2]
	if !d.yearFirst {
		if order == orderOpen {
			return 0, max(year, month) <= 12
		}
		year, day = day, year
		if order == monthFirst {
			month, day = day, month
		}
	}
	if year < 100 {
		year += 2000
	}
	date := time.Date(int(year), time.Month(month), int(day), 0, 0, 0, 0, time.UTC)
	return date.Unix() / 86400, month >= 1 && month <= 12 && int64(date.Day()) == day
}

// parseDate reads a cell that is a date and nothing else, as days since 1970.
func parseDate(text []byte, order dateOrder) (days int64, ok bool) {
	d, ok := leadingDate(text)
	if !ok || d.size != len(text) {
		return 0, false
	}
	return d.days(order)
}

// parseDated reads a date, a T or spaces, a clock and perhaps a zone, as µs since
// 1970, in UTC if there is a zone.
func parseDated(text []byte, order dateOrder, comma bool) (int64, bool) {
	d, ok := readDated(text, order, comma)
	return d.at, ok
}

// datedCell is a date with a clock.
type datedCell struct {
	at, minute    int64 // in µs since 1970; minute is without the seconds
	before, after int   // bytes before the seconds and after them
}

func readDated(text []byte, order dateOrder, comma bool) (cell datedCell, ok bool) {
	d, ok := leadingDate(text)
	if !ok || d.size == len(text) || text[d.size] != 'T' && text[d.size] != 't' && text[d.size] != ' ' {
		return cell, false
	}
	days, ok := d.days(order)
	if !ok {
		return cell, false
	}
	rest := bytes.TrimLeft(text[d.size+1:], " ")
	end := bytes.IndexAny(rest, "Zz+-")
	if end < 0 {
		end = len(rest)
	}
	zone, ok := parseZone(rest[end:])
	clock := bytes.TrimRight(rest[:end], " ")
	c, isClock := parseClock(clock, comma)
	if !ok || !isClock || c.parts != 3 {
		return cell, false
	}
	seconds := bytes.LastIndexByte(clock, ':') + 1
	cell.at = days*dayMicros + c.micros - zone
	cell.minute = cell.at - c.seconds
	cell.before, cell.after = len(text)-len(rest)+seconds, len(rest)-len(clock)
	return cell, true
}

// knownMinute is the text around the seconds of a date with a clock. Most rows
// share it with the row before, so that only their seconds need to be read.
type knownMinute struct {
	before, after string
	at            int64 // in µs since 1970
}

// parse is [parseDated].
func (k *knownMinute) parse(text []byte, order dateOrder, comma bool) (int64, bool) {
	begin, end := len(k.before), len(text)-len(k.after)
	if begin > 0 && begin+2 <= end && string(text[:begin]) == k.before && string(text[end:]) == k.after {
		value, digits := wholeNumber(text[begin : begin+2])
		c := clockCell{micros: value * int64(sim.Second)}
		if digits == 2 && value <= 60 && c.takeFraction(text[begin+2:end], comma) {
			return k.at + c.micros, true
		}
	}
	d, ok := readDated(text, order, comma)
	if ok {
		*k = knownMinute{string(text[:d.before]), string(text[len(text)-d.after:]), d.minute}
	}
	return d.at, ok
}

// parseZone reads Z, ±hh:mm, ±hhmm, ±hh or nothing, as µs east of UTC.
func parseZone(text []byte) (int64, bool) {
	if len(text) == 0 || len(text) == 1 && text[0]|0x20 == 'z' {
		return 0, true
	}
	hours, digits := wholeNumber(text[1:])
	minutes, more := int64(0), 2
	switch {
	case digits == 4 && len(text) == 5:
		hours, minutes = hours/100, hours%100
	case digits == 2 && len(text) == 6 && text[3] == ':':
		minutes, more = wholeNumber(text[4:])
	case digits != 2 || len(text) != 3:
		return 0, false
	}
	zone := int64(sim.Minute) * (hours*60 + minutes)
	if text[0] == '-' {
		zone = -zone
	}
	return zone, more == 2 && hours < 24 && minutes < 60 && text[0]|0x20 != 'z'
}
