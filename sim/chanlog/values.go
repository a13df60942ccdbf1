package chanlog

import (
	"bytes"
	"math"
	"slices"
	"strings"

	"flicktally/sim"
)

// cells says how to read the cells of a channel as pulse widths.
type cells struct {
	words         []string // folded; empty if the cells are numbers
	scale, offset float64
	comma         bool
}

// twoValued are words that need no configuration.
var twoValued = map[string]sim.PulseWidth{
	"on": sim.WordYes, "true": sim.WordYes, "yes": sim.WordYes, "high": sim.WordYes, "up": sim.WordYes, "pressed": sim.WordYes,
	"off": sim.WordNo, "false": sim.WordNo, "no": sim.WordNo, "low": sim.WordNo, "down": sim.WordNo, "released": sim.WordNo,
}

// pulseUnits may follow a value.
var pulseUnits = map[string]bool{"us": true, "usec": true, "µs": true, "μs": true, "%": true}

func newCells(spec *sim.LogSpec, words []string, comma bool) cells {
	c := cells{comma: comma}
	c.scale, c.offset = spec.Linear()
	for _, word := range words {
		c.words = append(c.words, fold(word))
	}
	return c
}

// width turns a number of the log into a pulse width. The conversion to float64
// keeps the compiler from fusing both steps, which would round differently on
// some machines.
func (c *cells) width(number float64) sim.PulseWidth {
	w := sim.PulseWidth(float64(number*c.scale) + c.offset)
	if w == sim.Lost {
		return sim.Absent // only the failsafe column can say that
	}
	return w
}

// read reads a cell; an empty one is absent. isWord says that it is a word.
func (c *cells) read(text []byte) (w sim.PulseWidth, isWord, ok bool) {
	switch {
	case len(c.words) > 0:
		return c.anyWord(text), true, true
	case len(text) == 0:
		return sim.Absent, false, true
	}
	if v, ok := parseFloat(text, c.comma); ok {
		return c.width(v), false, true
	}
	if w, ok := twoValuedWord(text); ok {
		return w, true, true
	}
	digits := bytes.TrimRightFunc(text, func(r rune) bool { return r > '9' || r == ' ' || r == '%' })
	if !pulseUnits[strings.ToValidUTF8(fold(string(text[len(digits):])), "µ")] {
		return 0, false, false
	}
	v, ok := parseFloat(digits, c.comma)
	return c.width(v), false, ok
}

// twoValuedWord reads one of the two-valued words.
func twoValuedWord(text []byte) (sim.PulseWidth, bool) {
	w, ok := twoValued[strings.ToLower(string(text))]
	return w, ok
}

// anyWord returns [sim.WordYes] if a cell contains one of the wanted words,
// alone or in a list, otherwise [sim.WordNo].
func (c *cells) anyWord(text []byte) sim.PulseWidth {
	cell := fold(string(text))
	if slices.ContainsFunc(c.words, func(word string) bool { return containsWord(cell, word) }) {
		return sim.WordYes
	}
	return sim.WordNo
}

// containsWord reports whether a list contains a word, or several, as whole
// words.
func containsWord(list, word string) bool {
	const between = "|;, \t"
	for from := 0; ; {
		i := strings.Index(list[from:], word)
		if i < 0 {
			return false
		}
		begin, end := from+i, from+i+len(word)
		if (begin == 0 || strings.IndexByte(between, list[begin-1]) >= 0) && (end == len(list) || strings.IndexByte(between, list[end]) >= 0) {
			return true
		}
		from = begin + 1
	}
}

// failsafe says how to read the cells of the column that reports a lost signal.
type failsafe struct {
	cells
	ranges []sim.PulseRange
}

// says reports whether a number says that the signal is lost.
func (f *failsafe) says(number float64) bool {
	if len(f.ranges) == 0 {
		return number != 0 && !math.IsNaN(number)
	}
	return f.within(f.width(number))
}

func (f *failsafe) within(w sim.PulseWidth) bool {
	return slices.ContainsFunc(f.ranges, func(r sim.PulseRange) bool { return r.Contains(w) })
}

// read reads a cell; an empty one does not report a loss.
func (f *failsafe) read(text []byte) (lost, isWord, ok bool) {
	if v, isNumber := parseFloat(text, f.comma); isNumber && len(f.words) == 0 {
		return f.says(v), false, true
	}
	w, isWord, ok := f.cells.read(text)
	if isWord && (len(f.words) > 0 || len(f.ranges) == 0) {
		return w == sim.WordYes, true, ok
	}
	return f.within(w), isWord, ok
}
