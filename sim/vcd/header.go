package vcd

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// The most bytes that the names of all wires and scopes use, and the overhead of
// each.
const (
	maxDeclared  = 16 << 20
	nameOverhead = 64
)

// wire is a variable of one bit: its name with all scopes,
// "top.camera.SHUTTER", and its code in the value changes.
type wire struct{ name, code string }

// header holds the declarations (§18.2.3).
type header struct {
	scale    timescale
	fallback timescale // used if none is declared; zero = none
	scopes   []string
	wires    []wire
	declared int // bytes of all names and codes so far
}

// maxPreamble is the most words that are skipped before the first declaration:
// some programs write a line of their own there.
const maxPreamble = 100

// readHeader reads the declarations up to $enddefinitions. If they have no unit
// of time, the fallback is used.
func readHeader(s *scanner, fallback timescale) (header, error) {
	h := header{fallback: fallback}
	for preamble := 0; ; {
		if err := s.next(); err != nil {
			return h, unfinished(s, err, "$enddefinitions")
		}
		keyword := string(s.token)
		if !strings.HasPrefix(keyword, "$") {
			if preamble++; preamble <= maxPreamble {
				continue
			}
			return h, s.wrong(s.shown(), "a declaration such as $timescale, $scope, $var or $enddefinitions")
		}
		preamble = maxPreamble
		at := s.place
		words, err := readDeclaration(s, keyword)
		if err != nil {
			return h, err
		}
		if found, want := h.declare(keyword, words); found != "" {
			return h, s.wrongAt(at, found, want)
		}
		if h.declared > maxDeclared {
			return h, s.wrongAt(at, "names of more than 16 MiB", "a capture with fewer wires")
		}
		if keyword == "$enddefinitions" {
			return h, nil
		}
	}
}

// readDeclaration reads the words up to $end. It returns the first 32, which are
// more than any declaration that matters here has.
func readDeclaration(s *scanner, keyword string) ([]string, error) {
	const most = 32
	var words []string
	for {
		if err := s.next(); err != nil {
			return nil, unfinished(s, err, "$end of "+excerpt.Quote(keyword))
		}
		if string(s.token) == "$end" {
			return words, nil
		}
		if len(words) < most && len(s.token) <= maxName {
			words = append(words, string(s.token))
		}
	}
}

const maxName = 4096

// unfinished turns the end of the stream within the declarations into a
// [excerpt.SyntaxError].
func unfinished(s *scanner, err error, want string) error {
	if err != io.EOF {
		return err
	}
	return s.wrongAt(s.here(), "the end of the file within the declarations", want)
}

// declare adds a declaration. If it is wrong, found and want say how.
func (h *header) declare(keyword string, words []string) (found, want string) {
	switch keyword {
	case "$timescale":
		scale, ok := parseTimescale(strings.Join(words, ""))
		if !ok {
			return keyword + " " + excerpt.Quote(strings.Join(words, " ")), "1, 10 or 100 with a unit: s, ms, us, ns, ps or fs"
		}
		h.scale = scale
	case "$scope":
		if len(words) < 2 {
			return "$scope without a name", "$scope module NAME $end"
		}
		scope := strings.Join(words[1:], " ")
		h.scopes = append(h.scopes, scope)
		h.declared += len(scope) + nameOverhead
	case "$upscope":
		if len(h.scopes) > 0 {
			h.scopes = h.scopes[:len(h.scopes)-1]
		}
	case "$var":
		return h.declareVariable(words)
	case "$enddefinitions":
		if h.scale == (timescale{}) {
			h.scale = h.fallback
		}
		if h.scale == (timescale{}) {
			return "no $timescale before $enddefinitions", "one such as $timescale 1 us $end, or its unit given (--unit us)"
		}
	}
	return "", ""
}

// declareVariable adds a variable of one bit, such as "wire 1 ! SHUTTER". A name
// may have spaces, as in "data [3]".
func (h *header) declareVariable(words []string) (found, want string) {
	if len(words) < 4 {
		return "$var with " + strconv.Itoa(len(words)) + " words", "$var TYPE SIZE CODE NAME $end"
	}
	kind, size, code := words[0], words[1], words[2]
	if size != "1" || kind == "real" || kind == "realtime" || kind == "string" {
		return "", ""
	}
	path := append(slices.Clone(h.scopes), strings.Join(words[3:], " "))
	w := wire{strings.Join(path, "."), code}
	h.wires = append(h.wires, w)
	h.declared += len(w.name) + len(w.code) + nameOverhead
	return "", ""
}

// timescale turns a time of the dump into microseconds: it is multiplied, then
// divided.
type timescale struct{ multiply, divide uint64 }

// parseTimescale reads "1us", "10 ns", "100ps"; case is ignored, and µ in any
// encoding is u.
func parseTimescale(text string) (timescale, bool) {
	text = strings.NewReplacer("µ", "u", "μ", "u", "\xb5", "u", " ", "").Replace(text)
	text = strings.ToLower(text)
	unit := strings.TrimLeft(text, "0123456789")
	scale, ok := map[string]timescale{
		"s": {1e6, 1}, "ms": {1e3, 1}, "us": {1, 1}, "ns": {1, 1e3}, "ps": {1, 1e6}, "fs": {1, 1e9},
	}[unit]
	switch strings.TrimSuffix(text, unit) {
	case "1":
	case "10":
		scale.multiply *= 10
	case "100":
		scale.multiply *= 100
	default:
		return timescale{}, false
	}
	return scale, ok
}

// fallbackScale reads the unit given by the user for captures without one:
// "us", or a multiple such as "10us". It is zero if that is no unit of time.
func fallbackScale(unit string) timescale {
	for _, text := range []string{unit, "1" + unit} {
		if scale, ok := parseTimescale(text); ok {
			return scale
		}
	}
	return timescale{}
}

// step returns the time between two moments that the dump can distinguish, in
// whole microseconds.
func (t timescale) step() sim.Micros { return sim.Micros(max(1, t.multiply/t.divide)) }

// micros turns a time of the dump into whole microseconds, rounding halves up.
// It refuses times beyond [sim.MaxDuration].
func (t timescale) micros(time uint64) (sim.Micros, bool) {
	most := uint64(sim.MaxDuration)
	whole, rest := time/t.divide, time%t.divide
	if whole > most {
		return 0, false
	}
	// If there is a rest, divide is at most 1e9 and multiply at most 100.
	us := whole*t.multiply + (rest*t.multiply+t.divide/2)/t.divide
	return sim.Micros(us), whole*t.multiply/t.multiply == whole && us <= most
}

// find returns the wire that a name means: its whole name or its last part,
// ignoring case and spaces. Without a name it returns the only wire.
func (h *header) find(file, name string) (wire, error) {
	bare := func(name string) string { return strings.ReplaceAll(name, " ", "") }
	var found []wire
	var names []string
	for _, w := range h.wires {
		if w.name == name {
			return w, nil
		}
		lastPart := w.name[strings.LastIndexByte(w.name, '.')+1:]
		if name == "" || strings.EqualFold(bare(w.name), bare(name)) || strings.EqualFold(bare(lastPart), bare(name)) {
			found = append(found, w)
		}
		names = append(names, w.name)
	}
	isOther := func(w wire) bool { return w.code != found[0].code }
	if len(found) > 0 && !slices.ContainsFunc(found, isOther) {
		return found[0], nil
	}
	return wire{}, &WireError{File: file, Name: name, Wires: names, Matches: len(found)}
}

// WireError says that a name does not identify a wire.
type WireError struct {
	File, Name string
	Wires      []string // the names of all wires
	Matches    int      // wires that the name may mean
}

// Error names the first twenty wires.
func (e *WireError) Error() string {
	const most = 20
	var listed []string
	for _, name := range e.Wires[:min(len(e.Wires), most)] {
		listed = append(listed, excerpt.Quote(name))
	}
	there := strings.Join(listed, ", ")
	if rest := len(e.Wires) - most; rest > 0 {
		there += fmt.Sprintf(" and %d more", rest)
	}
	switch {
	case len(e.Wires) == 0:
		return fmt.Sprintf("%s: found no wire of one bit, want one", excerpt.Printable(e.File))
	case e.Name == "":
		return fmt.Sprintf("%s: found %d wires, want the name of one: %s", excerpt.Printable(e.File), len(e.Wires), there)
	case e.Matches == 0:
		return fmt.Sprintf("%s: found no wire %s, want one of: %s", excerpt.Printable(e.File), excerpt.Quote(e.Name), there)
	default:
		return fmt.Sprintf("%s: found %d wires that %s may mean, want the whole name of one: %s",
			excerpt.Printable(e.File), e.Matches, excerpt.Quote(e.Name), there)
	}
}
