package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// The readable report of replay: the verdict, flicks, takes, armed time,
// findings, then how log and rig were read.

func (t *talk) printFlights(flights []flight.Flight) {
	for i, f := range flights {
		if i > 0 {
			fmt.Fprintln(t.out)
		}
		if len(flights) > 1 {
			f.Card = nil // told once, with the totals
		}
		t.printFlight(&f)
	}
	if len(flights) > 1 {
		t.printTotals(flights)
	}
}

// printTotals tells what several flights come to together.
func (t *talk) printTotals(flights []flight.Flight) {
	o := flight.OutingOf(flights)
	fmt.Fprintln(t.out)
	t.heading(fmt.Sprintf("%d flights in all", len(flights)))
	fmt.Fprintln(t.out, o.Total.FlickSummary()+"; "+o.Total.RecordedSummary())
	for _, line := range []string{o.Total.ArmedSummary(), o.CardSummary()} {
		if line != "" {
			fmt.Fprintln(t.out, line)
		}
	}
	fmt.Fprintln(t.out)
	t.table(func(w io.Writer) {
		fmt.Fprintln(w, "\tflicks toggled\ttakes\trecorded\tarmed, not recorded\tclips")
		for _, row := range o.Rows {
			fmt.Fprintln(w, strings.Join([]string{row.Log, row.Toggled, row.Takes, row.Recorded, row.Missed, row.Clips}, "\t"))
		}
		for i, line := range flights[0].Card {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "card"), line)
		}
	})
}

func (t *talk) printFlight(f *flight.Flight) {
	r := f.Replay
	t.heading(withRig(r.Rig, f.Log()))
	fmt.Fprintln(t.out, tell.Summary(r))
	t.printClips(f)
	t.printFlicks(r)
	t.printTakes(r)
	t.printArmed(r)
	t.printKnown(f)
	t.printFindings(f.Findings)
	fmt.Fprintln(t.out)
	t.table(func(w io.Writer) {
		for i, line := range append(tell.LogLines(r, f.Reading.OnChange), f.Reading.Lines()...) {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "log"), line)
		}
		for i, line := range rigLines(r) {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "rig"), line)
		}
		for i, line := range f.Card {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "card"), line)
		}
	})
}

func onlyFirst(i int, text string) string {
	if i == 0 {
		return text
	}
	return ""
}

// heading begins a section.
func (t *talk) heading(text string) { fmt.Fprintln(t.out, t.paint(bold, text)) }

// rigLines tells what of the rig decides the outcome.
func rigLines(r *sim.Replay) []string {
	c, rig := r.Rig.Camera, r.Rig
	lines := []string{
		fmt.Sprintf("%s on %s; a longer one: %s", tell.Toggles(r), c.ToggleOn, c.LongAction),
		"min_press and long_press are " + thresholdSource(c),
	}
	press := "pressed from " + tell.Ranges(rig.Switch.Press)
	if rig.OneShot.Trigger != sim.TriggerOff {
		press += fmt.Sprintf("; one-shot of %s (%s)", rig.OneShot.Width, rig.OneShot.Trigger)
	}
	if rig.Line.Update > 0 {
		press += fmt.Sprintf("; line refreshed every %s", rig.Line.Update)
	}
	return append(lines, press)
}

func (t *talk) printFlicks(r *sim.Replay) {
	fmt.Fprintln(t.out)
	attempts := lanes.Attempts(r)
	if len(attempts) == 0 {
		t.heading("no flick")
		return
	}
	t.heading("flicks")
	t.longTable(func(table *longTable) {
		table.row("n", "at", "held", "by hand", "outcome", "margin", "then")
		for _, a := range attempts {
			outcome := a.Look(r).Name()
			if a.Doubtful() {
				outcome += " (doubtful)"
			}
			table.row(a.Number(), a.From.Clock(), a.Held(), a.ByHand(r), outcome, a.Margin(r), string(a.After(r)))
		}
	})
}

func (t *talk) printTakes(r *sim.Replay) {
	fmt.Fprintln(t.out)
	if len(r.Takes) == 0 {
		t.heading("no take")
		return
	}
	t.heading("takes")
	t.longTable(func(table *longTable) {
		table.row("n", "from", "to", "length", "ended by")
		for _, k := range r.Takes {
			table.row(strconv.Itoa(k.N), k.Start.Clock(), k.End.Clock(), k.Length().Readable(), tell.Ended(k))
		}
	})
}

func (t *talk) printArmed(r *sim.Replay) {
	a := r.Armed
	if a == nil {
		return
	}
	fmt.Fprintln(t.out)
	t.heading(tell.TotalOf(r).ArmedSummary())
	t.longTable(func(table *longTable) {
		for _, missed := range a.Missed(r.Takes) {
			table.row("not recorded", missed.From.Clock()+" to "+missed.To.Clock(), missed.Length().Readable())
		}
	})
}

func (t *talk) printFindings(findings []tell.Finding) {
	fmt.Fprintln(t.out)
	if len(findings) == 0 {
		t.heading("no findings")
		return
	}
	t.heading("findings")
	for _, f := range findings {
		code := t.paint(bold, string(f.Code))
		if f.Costs {
			code = t.paint(alarm, string(f.Code))
		}
		fmt.Fprintf(t.out, "  %s  %s: %s\n", f.At.Clock(), code, f.Text)
		fmt.Fprintf(t.out, "  %s  → %s\n", strings.Repeat(" ", len(f.At.Clock())), f.Remedy)
	}
}
