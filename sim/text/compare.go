package text

import (
	"fmt"
	"io"
	"strings"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// Comparisons writes the report of compare: the rigs, their outcomes in
// columns, and what each of them records that the first does not.
func (p *Printer) Comparisons(comparisons []flight.Comparison) {
	p.Heading("rigs")
	p.Table(func(w io.Writer) {
		first, others := comparisons[0].Rigs[0], comparisons[0].Rigs[1:]
		row(w, first.Letter, first.File)
		for _, e := range others {
			name := e.File
			if e.Change != "" {
				name = "A changed:"
			}
			row(w, e.Letter, name, differsText(e))
		}
	})
	for _, c := range comparisons {
		fmt.Fprintln(p.out)
		p.printComparison(c)
	}
}

// differsText says how a rig differs from the first.
func differsText(e flight.ComparedRig) string {
	if len(e.Differs) == 0 {
		return "the same as A"
	}
	parts := make([]string, len(e.Differs))
	for i, d := range e.Differs {
		parts[i] = fmt.Sprintf("%s %s, not %s", d.Key, d.Second, d.First)
	}
	return strings.Join(parts, "; ")
}

func (p *Printer) printComparison(c flight.Comparison) {
	first := c.Flights[0]
	p.Heading(first.Log() + ", " + first.Replay.End.Clock())
	p.Table(func(w io.Writer) {
		rigRow := func(name string, cell func(i int) string) {
			cells := []string{name}
			for i := range c.Flights {
				cells = append(cells, cell(i))
			}
			row(w, cells...)
		}
		rigRow("", func(i int) string { return c.Rigs[i].Letter })
		for _, line := range outcomeLines {
			if line.armed && first.Replay.Armed == nil {
				continue
			}
			rigRow(line.name, func(i int) string { return line.cell(c.Outcomes[i]) })
		}
		for _, rule := range tell.Rules() {
			if c.Any(rule.Code) {
				rigRow(string(rule.Code), func(i int) string { return fmt.Sprint(c.Outcomes[i].Count(rule.Code)) })
			}
		}
	})
	for i := range c.Flights[1:] {
		p.printGains(c, i+1)
	}
}

// outcomeLines are the rows of the table before the findings.
var outcomeLines = []struct {
	name  string
	armed bool // only if the log says when the craft was armed
	cell  func(tell.Outcome) string
}{
	{"flicks that toggled", false, func(o tell.Outcome) string { return tell.ToggledOf(o.Flicks) }},
	{"takes", false, func(o tell.Outcome) string { return fmt.Sprint(o.Takes) }},
	{"recorded", false, func(o tell.Outcome) string { return o.Recorded.Readable() }},
	{"armed, not recorded", true, func(o tell.Outcome) string { return o.Missed.Readable() }},
	{"presses", false, func(o tell.Outcome) string { return fmt.Sprint(o.Presses) }},
	{"toggles", false, func(o tell.Outcome) string { return fmt.Sprint(o.Toggles) }},
}

// briefest is the shortest differing stretch that is worth a line.
const briefest = sim.Second

func (p *Printer) printGains(c flight.Comparison, i int) {
	gained, missed := c.Gains(i)
	letter := c.Rigs[i].Letter
	if len(gained)+len(missed) == 0 {
		fmt.Fprintf(p.out, "  %s records the same as A\n", letter)
		return
	}
	p.Table(func(w io.Writer) {
		printSpans(w, fmt.Sprintf("%s records, A does not", letter), gained)
		printSpans(w, fmt.Sprintf("A records, %s does not", letter), missed)
	})
}

// printSpans lists the longer spans and counts the others.
func printSpans(w io.Writer, name string, spans []sim.Span) {
	printed, brief := 0, 0
	for _, s := range spans {
		if s.Length() < briefest {
			brief++
			continue
		}
		row(w, onlyFirst(printed, name), s.From.Clock()+" to "+s.To.Clock(), s.Length().Readable())
		printed++
	}
	if brief > 0 {
		row(w, onlyFirst(printed, name), fmt.Sprintf("and %d shorter than %s", brief, briefest.Readable()))
	}
}
