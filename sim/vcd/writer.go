package vcd

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"flicktally/sim"
)

// Signal is a wire to write. A pressed lane is high; with ActiveLow it is low.
type Signal struct {
	Name      string // white space becomes _
	Lane      sim.Lane
	ActiveLow bool
}

// Write writes a dump of signals from time 0 to end in steps of 1 µs. Readers
// measure a pulse only up to a later time, so the dump closes with end, or with
// end + 1 µs if a change is at end. It contains no date: equal lanes give equal
// bytes.
func Write(w io.Writer, module string, signals []Signal, end sim.Micros) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "$version flicktally $end\n$timescale 1 us $end\n$scope module %s $end\n", word(module))
	for i, s := range signals {
		fmt.Fprintf(out, "$var wire 1 %s %s $end\n", code(i), word(s.Name))
	}
	fmt.Fprint(out, "$upscope $end\n$enddefinitions $end\n#0\n$dumpvars\n")
	for i, s := range signals {
		fmt.Fprintf(out, "%c%s\n", s.bit(s.Lane.Initial), code(i))
	}
	fmt.Fprint(out, "$end\n")
	last := writeChanges(out, signals, end)
	fmt.Fprintf(out, "#%d\n", max(end, last+1))
	return out.Flush()
}

// writeChanges writes the edges of all lanes up to end in order of time, and
// returns the time of the last, 0 if there is none.
func writeChanges(out *bufio.Writer, signals []Signal, end sim.Micros) sim.Micros {
	now := sim.Micros(0)
	next := make([]int, len(signals))
	for {
		at := sim.Never
		for i, s := range signals {
			if next[i] < len(s.Lane.Edges) {
				at = min(at, s.Lane.Edges[next[i]].At)
			}
		}
		if at > end {
			return now
		}
		if at > now {
			fmt.Fprintf(out, "#%d\n", at)
			now = at
		}
		for i, s := range signals {
			for next[i] < len(s.Lane.Edges) && s.Lane.Edges[next[i]].At == at {
				fmt.Fprintf(out, "%c%s\n", s.bit(s.Lane.Edges[next[i]].Pressed), code(i))
				next[i]++
			}
		}
	}
}

func (s Signal) bit(pressed bool) byte {
	if pressed != s.ActiveLow {
		return '1'
	}
	return '0'
}

// code returns the identifier of the i-th signal: printable characters from !
// to ~ (§18.2.1).
func code(i int) string {
	const first, count = '!', '~' - '!' + 1
	text := string(rune(first + i%count))
	for i /= count; i > 0; i /= count {
		text += string(rune(first + i%count))
	}
	return text
}

// word turns a name into one token.
func word(name string) string {
	name = strings.Map(func(r rune) rune {
		if r <= ' ' || r > '~' || r == '$' {
			return '_'
		}
		return r
	}, name)
	if name == "" {
		return "_"
	}
	return name
}
