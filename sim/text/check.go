package text

import (
	"fmt"
	"io"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/rigcheck"
	"flicktally/sim/tell"
)

// Check writes the report of a rig check.
func (p *Printer) Check(rig sim.Rig, r rigcheck.Report) {
	title := "the default rig"
	if rig.Name != "" {
		title = excerpt.Printable(rig.Name)
	}
	p.Heading(title + ": " + checkSummary(r))
	if f := r.Figures; f != nil {
		p.Table(func(w io.Writer) {
			for _, line := range figureLines(rig, *f) {
				fmt.Fprintln(w, line)
			}
		})
	}
	for _, f := range r.Findings {
		fmt.Fprintln(p.out)
		p.printRigFinding(f)
	}
}

func checkSummary(r rigcheck.Report) string {
	faults := 0
	for _, f := range r.Findings {
		if f.Fault {
			faults++
		}
	}
	switch risks := len(r.Findings) - faults; {
	case faults+risks == 0:
		return "found nothing that will go wrong"
	case r.Figures == nil:
		return tell.Counted(faults, "fault", "faults") + "; until that is fixed no flick works, so nothing else was tested"
	default:
		return tell.Counted(faults, "fault", "faults") + ", " + tell.Counted(risks, "risk", "risks")
	}
}

// figureLines says which holds work, and how soon flicks may follow each other.
func figureLines(rig sim.Rig, f rigcheck.Figures) []string {
	holds := rigcheck.HoldsText(f.Holds) + " toggle, at every phase of link and line"
	switch {
	case f.Holds.Low > f.Holds.High:
		return []string{"no hold toggles for certain"}
	case f.SingleMove:
		holds = "each move of the switch, in either direction, toggles"
	}
	lines := []string{holds}
	if aim, ok := rig.Aim(); ok {
		lines = append(lines, "aim for a hold of "+aim.Rounded())
	}
	return append(lines,
		fmt.Sprintf("a flick can stop a take %s, and start the next one %s (from start to start)",
			afterText(f.Stop), afterText(f.Restart)))
}

func afterText(m sim.Micros) string {
	if m == sim.Never {
		return "never"
	}
	return m.Rounded() + " after the flick before"
}

func (p *Printer) printRigFinding(f rigcheck.Finding) {
	kind := p.paint(bold, "risk")
	if f.Fault {
		kind = p.paint(alarm, "fault")
	}
	fmt.Fprintf(p.out, "%s  %s: %s\n", kind, p.paint(bold, string(f.Code)), f.Text)
	fmt.Fprintf(p.out, "  why: %s\n", f.Why)
	fmt.Fprintf(p.out, "  → %s\n", f.Remedy)
	for i, c := range f.Changes {
		fmt.Fprintf(p.out, "  %s %s\n", map[bool]string{true: "change:", false: "    or:"}[i == 0], c)
	}
}
