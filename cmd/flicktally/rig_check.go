package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/export"
	"flicktally/sim/rigcheck"
	"flicktally/sim/tell"
)

func newRigCheck(a *app) *cobra.Command {
	var (
		rig           string
		asJSON, check bool
		within        = durationFlag(rigcheck.DefaultOptions().Within)
	)
	cmd := &cobra.Command{
		Use:   "check [FILE]",
		Short: "Tell what will go wrong with a rig before it does",
		Long: `Check plays probe inputs through the rig's own chain, behind its radio link: a
switch at rest, flicks, a lost signal, a power-on. It tells what goes wrong, why
that matters and what to change; every change has been tried the same way.

A fault goes wrong in ordinary use. A risk takes an accident, such as a lost
signal or a slip of the thumb. With --check the exit code is 4 when there is a
fault.`,
		Example: `  flicktally rig check heron.toml
  flicktally rig check --within 1s heron.toml
  flicktally rig check --check --json heron.toml`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			file, err := a.loadNamedRig(rig, args)
			if err != nil {
				return err
			}
			report := rigcheck.Check(file.Rig, rigcheck.Options{Within: sim.Micros(within)})
			if asJSON {
				err = export.RigCheck(a.talk.out, file.Rig, report)
			} else {
				a.talk.printCheck(file.Rig, report)
			}
			if err == nil && check && report.Faulty() {
				return errRigFaulty
			}
			return err
		},
	}
	cmd.Flags().StringVar(&rig, "rig", "", rigUsage)
	cmd.Flags().Var(&within, "within", "a flick must be able to stop, and to start again, so soon after the one before")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	cmd.Flags().BoolVar(&check, "check", false, "end with code 4 if the rig has a fault")
	return cmd
}

func (t *talk) printCheck(rig sim.Rig, r rigcheck.Report) {
	title := "the default rig"
	if rig.Name != "" {
		title = excerpt.Printable(rig.Name)
	}
	t.heading(title + ": " + checkSummary(r))
	if f := r.Figures; f != nil {
		t.table(func(w io.Writer) {
			for _, line := range figureLines(rig, *f) {
				fmt.Fprintln(w, line)
			}
		})
	}
	for _, f := range r.Findings {
		fmt.Fprintln(t.out)
		t.printRigFinding(f)
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
		return "nothing found that will go wrong"
	case r.Figures == nil:
		return tell.Counted(faults, "fault", "faults") + "; no flick arrives as one until that is mended, so nothing else was probed"
	default:
		return tell.Counted(faults, "fault", "faults") + ", " + tell.Counted(risks, "risk", "risks")
	}
}

// figureLines tells what works.
func figureLines(rig sim.Rig, f rigcheck.Figures) []string {
	holds := rigcheck.HoldsText(f.Holds) + " toggle, at every phase of link and line"
	switch {
	case f.Holds.Low > f.Holds.High:
		return []string{"no hold toggles for certain"}
	case f.SingleMove:
		holds = "each move of the switch, to and fro, toggles"
	}
	lines := []string{holds}
	if aim, ok := rig.Aim(); ok {
		lines = append(lines, "aim for a hold of "+aim.Rounded())
	}
	return append(lines,
		fmt.Sprintf("a flick can stop a take %s, and start one again %s (begin to begin)",
			afterText(f.Stop), afterText(f.Restart)))
}

func afterText(m sim.Micros) string {
	if m == sim.Never {
		return "never"
	}
	return m.Rounded() + " after the one before"
}

func (t *talk) printRigFinding(f rigcheck.Finding) {
	kind := t.paint(bold, "risk")
	if f.Fault {
		kind = t.paint(alarm, "fault")
	}
	fmt.Fprintf(t.out, "%s  %s: %s\n", kind, t.paint(bold, string(f.Code)), f.Text)
	fmt.Fprintf(t.out, "  why: %s\n", f.Why)
	fmt.Fprintf(t.out, "  → %s\n", f.Remedy)
	for i, c := range f.Changes {
		fmt.Fprintf(t.out, "  %s %s\n", map[bool]string{true: "change:", false: "    or:"}[i == 0], c)
	}
}
