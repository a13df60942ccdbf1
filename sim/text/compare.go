package text

import (
	"fmt"
	"io"
	"strings"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// Comparisons writes the readable report of compare: the rigs, their outcomes in
// columns, and what each of them records that the first does not.
func (p *Printer) Comparisons(comparisons []flight.Comparison) {
	p.Heading("rigs")
	p.Table(func(w io.Writer) {
		first, others := comparisons[0].Rigs[0], comparisons[0].Rigs[1:]
		fmt.Fprintf(w, "%s\t%s\n", first.Letter, first.File)
		for _, e := range others {
			name := e.File
			if e.Change != "" {
				name = "A changed:"
			}
			fmt.Fprintf(w, "%s\t%s\t%s\n", e.Letter, name, differsText(e))
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
		row := func(name string, cell func(i int) string) {
			cells := []string{name}
			for i := range c.Flights {
				cells = append(cells, cell(i))
			}
			fmt.Fprintln(w, strings.Join(cells, "\t"))
		}
		row("", func(i int) string { return c.Rigs[i].Letter })
		for _, line := range outcomeLines {
			if line.armed && first.Replay.Armed == nil {
				continue
			}
			row(line.name, func(i int) string { return line.cell(c.Outcomes[i]) })
		}
		for _, rule := range tell.Rules() {
			if !c.Any(rule.Code) {
				continue
			}
			row(string(rule.Code), func(i int) string { return fmt.Sprint(c.Outcomes[i].Count(rule.Code)) })
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

// briefest is the length from which a differing stretch is worth a line.
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
		fmt.Fprintf(w, "%s\t%s to %s\t%s\n", onlyFirst(printed, name), s.From.Clock(), s.To.Clock(), s.Length().Readable())
		printed++
	}
	if brief > 0 {
		fmt.Fprintf(w, "%s\tand %d shorter than %s\n", onlyFirst(printed, name), brief, briefest.Readable())
	}
}
