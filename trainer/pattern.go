package trainer

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// Pattern is a sequence of presses and the gaps between them.
type Pattern struct {
	Name    string
	Presses []sim.Span // timed from the first press, which starts at 0
}

// Length returns the time from the first press to the last release.
func (p Pattern) Length() sim.Micros { return p.Presses[len(p.Presses)-1].To }

// add appends a press after a gap.
func (p *Pattern) add(gap, press sim.Micros) {
	from := gap
	if n := len(p.Presses); n > 0 {
		from += p.Presses[n-1].To
	}
	p.Presses = append(p.Presses, sim.Span{From: from, To: from + press})
}

// builtInPatterns returns patterns for the shots of a regatta, which suit a rig.
func builtInPatterns(rig sim.Rig, aim sim.Micros) (patterns []Pattern) {
	camera := rig.Camera
	add := func(name string, gaps ...sim.Micros) {
		p := Pattern{Name: name}
		p.add(0, aim)
		for _, g := range gaps {
			p.add(g, aim)
		}
		patterns = append(patterns, p)
	}
	take := 2*sim.Second + camera.StartDelay
	gap := max(300*sim.Millisecond, camera.StartDelay, camera.StopDelay, camera.DoubleWithin) + 400*sim.Millisecond
	add("Start line: start, and stop after two seconds", take)
	add("Mark rounding: start, stop, start again", take, gap)
	add("Finish: two short takes", gap, gap, gap)
	if camera.DoubleWithin > 0 {
		// Each flick comes as soon as it can no longer pair with the one before.
		apart := camera.DoubleWithin + 200*sim.Millisecond
		add("Gate: flicks just far enough apart to be no pair", apart+camera.StartDelay, apart+camera.StopDelay)
	}
	return patterns
}

// Limits of a pattern file.
const (
	maxPatternPresses = 50
	maxPatternLength  = sim.Minute
)

// ReadPattern reads a pattern file: a press or a gap per line, with its length,
// and comments after #. The first line may name the pattern.
//
//	name  Mark rounding
//	press 300ms   # stop
//	gap   700ms
//	press 300ms   # and start again
//
// Commas may separate the words. A line has at most 64 KiB. An error says the
// file and line, and the column if there is one.
func ReadPattern(r io.Reader, file string) (Pattern, error) {
	reader := patternReader{file: file, pattern: Pattern{Name: file}}
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		reader.line++
		if err := reader.take(strings.TrimPrefix(lines.Text(), "\ufeff")); err != nil {
			return Pattern{}, err
		}
	}
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return Pattern{}, fmt.Errorf("%s:%d: found a line of more than 64 KiB, want lines such as \"press 300ms\"", file, reader.line+1)
	case err != nil:
		return Pattern{}, fmt.Errorf("%s:%d: %w", file, reader.line+1, err)
	case len(reader.pattern.Presses) == 0:
		return Pattern{}, fmt.Errorf("%s:%d: found no press, want lines such as \"press 300ms\" and \"gap 700ms\"", file, max(1, reader.line))
	case reader.gap > 0:
		return Pattern{}, fmt.Errorf("%s:%d: found a gap at the end, want a press after it", file, reader.line)
	}
	return reader.pattern, nil
}

type patternReader struct {
	file    string
	line    int
	pattern Pattern
	gap     sim.Micros // before the next press; 0 = none
	named   bool
}

func (r *patternReader) take(line string) error {
	line, _, _ = strings.Cut(line, "#")
	word, wordAt, rest := cutWord(line, 0)
	if word == "" {
		return nil
	}
	switch strings.ToLower(word) {
	case "name":
		return r.takeName(line, wordAt, rest)
	case "press":
		return r.takePress(line, wordAt, rest)
	case "gap":
		return r.takeGap(line, wordAt, rest)
	default:
		return r.errorAt(line, wordAt, "found %s, want press, gap or name", excerpt.Quote(word))
	}
}

func (r *patternReader) takeName(line string, at, rest int) error {
	if r.named || len(r.pattern.Presses) > 0 {
		return r.errorAt(line, at, "found a name, want it once and before the first press")
	}
	name := strings.Trim(line[rest:], " \t,\r")
	if name == "" {
		return r.errorAt(line, rest, "found no name after name")
	}
	r.named, r.pattern.Name = true, name
	return nil
}

func (r *patternReader) takePress(line string, at, rest int) error {
	length, err := r.length(line, rest)
	if err != nil {
		return err
	}
	switch n := len(r.pattern.Presses); {
	case n > 0 && r.gap == 0:
		return r.errorAt(line, at, "found a press after a press, want a gap between them")
	case n == maxPatternPresses:
		return r.errorAt(line, at, "found press %d, want at most %d", n+1, maxPatternPresses)
	}
	r.pattern.add(r.gap, length)
	r.gap = 0
	if r.pattern.Length() > maxPatternLength {
		return r.errorAt(line, at, "found a pattern of %s, want at most %s", r.pattern.Length().Rounded(), maxPatternLength)
	}
	return nil
}

func (r *patternReader) takeGap(line string, at, rest int) error {
	switch {
	case len(r.pattern.Presses) == 0:
		return r.errorAt(line, at, "found a gap before the first press, want a press: it starts the pattern")
	case r.gap > 0:
		return r.errorAt(line, at, "found a gap after a gap, want a press between them")
	}
	var err error
	r.gap, err = r.length(line, rest)
	return err
}

// length reads the rest of a line, which must be a length.
func (r *patternReader) length(line string, from int) (sim.Micros, error) {
	text, at, rest := cutWord(line, from)
	length, err := sim.ParseDuration(text)
	if err != nil {
		return 0, r.errorAt(line, at, "%v", err)
	}
	if length == 0 {
		return 0, r.errorAt(line, at, "found %s, want a length above zero", excerpt.Quote(text))
	}
	if more, moreAt, _ := cutWord(line, rest); more != "" {
		return 0, r.errorAt(line, moreAt, "found %s after the length, want one press or gap a line", excerpt.Quote(more))
	}
	return length, nil
}

// errorAt returns an error with its place; columns count characters.
func (r *patternReader) errorAt(line string, at int, format string, args ...any) error {
	column := utf8.RuneCountInString(line[:at]) + 1
	return fmt.Errorf("%s:%d:%d: %s", r.file, r.line, column, fmt.Sprintf(format, args...))
}

// cutWord returns the first word of a line from an offset on, and the offsets of
// its start and end.
func cutWord(line string, from int) (word string, at, end int) {
	const separators = " \t,\r"
	rest := strings.TrimLeft(line[from:], separators)
	at, end = len(line)-len(rest), len(line)
	if n := strings.IndexAny(rest, separators); n >= 0 {
		end = at + n
	}
	return line[at:end], at, end
}
