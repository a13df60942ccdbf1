package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/flight"
)

// The readable report of replay: log, rig, presses, takes, armed time,
// findings.

func (t *talk) printFlights(flights []flight.Flight) {
	for i, f := range flights {
		if i > 0 {
			fmt.Fprintln(t.out)
		}
		t.printFlight(&f)
	}
}

func (t *talk) printFlight(f *flight.Flight) {
	r := f.Replay
	t.heading(withRig(r.Rig, f.Log()))
	fmt.Fprintln(t.out, r.Summary(f.Findings))
	t.table(func(w io.Writer) {
		for i, line := range append([]string{logLine(f)}, f.Reading.Lines()...) {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "log"), line)
		}
		for i, line := range rigLines(r) {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "rig"), line)
		}
		for i, line := range f.Card {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "card"), line)
		}
	})
	t.printClips(f)
	t.printPresses(r)
	t.printTakes(r)
	t.printArmed(r)
	t.printKnown(f)
	t.printFindings(f.Findings)
}

func onlyFirst(i int, text string) string {
	if i == 0 {
		return text
	}
	return ""
}

// heading begins a section.
func (t *talk) heading(text string) { fmt.Fprintln(t.out, t.paint(bold, text)) }

func logLine(f *flight.Flight) string {
	s := f.Replay.Samples
	if f.Reading.OnChange {
		return f.Replay.End.Clock()
	}
	line := fmt.Sprintf("%s, %d samples", f.Replay.End.Clock(), s.Count)
	if s.Count > 1 && s.End > 0 {
		line += fmt.Sprintf(", one every %s on average", (s.End / sim.Micros(s.Count-1)).Rounded())
	}
	if invalid := s.Count - s.Valid; invalid > 0 {
		line += fmt.Sprintf(", %d without a valid channel value", invalid)
	}
	return line
}

// rigLines tells what of the rig decides the outcome.
func rigLines(r *sim.Replay) []string {
	c, rig := r.Rig.Camera, r.Rig
	lines := []string{
		fmt.Sprintf("%s on %s; a longer one: %s", r.ToggleText(), c.ToggleOn, c.LongAction),
		"min_press and long_press are " + thresholdSource(c),
	}
	press := "pressed from " + sim.RangesText(rig.Switch.Press)
	if rig.OneShot.Trigger != sim.TriggerOff {
		press += fmt.Sprintf("; one-shot of %s (%s)", rig.OneShot.Width, rig.OneShot.Trigger)
	}
	if rig.Line.Update > 0 {
		press += fmt.Sprintf("; line refreshed every %s", rig.Line.Update)
	}
	return append(lines, press)
}

func (t *talk) printPresses(r *sim.Replay) {
	fmt.Fprintln(t.out)
	if len(r.Presses) == 0 {
		t.heading("no press")
		return
	}
	t.heading("presses")
	t.longTable(func(table *longTable) {
		table.row("n", "down", "held", "by hand", "verdict", "margin", "then")
		for _, p := range r.Presses {
			verdict := string(p.Verdict)
			if p.Doubtful {
				verdict += " (doubtful)"
			}
			table.row(strconv.Itoa(p.N), p.Down.Clock(), p.HeldText(), r.ByHandText(p), verdict,
				r.Window.MarginText(p), string(p.StateAfter))
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
			table.row(strconv.Itoa(k.N), k.Start.Clock(), k.End.Clock(), k.Length().Rounded(), k.EndedText())
		}
	})
}

func (t *talk) printArmed(r *sim.Replay) {
	a := r.Armed
	if a == nil {
		return
	}
	fmt.Fprintln(t.out)
	t.heading(fmt.Sprintf("armed %s, recorded %s of it, missed %s", a.Armed.Readable(), a.Recorded.Readable(), (a.Armed - a.Recorded).Readable()))
	t.longTable(func(table *longTable) {
		for _, missed := range a.Missed(r.Takes) {
			table.row("not recorded", missed.From.Clock()+" to "+missed.To.Clock(), missed.Length().Rounded())
		}
	})
}

func (t *talk) printFindings(findings []sim.Finding) {
	fmt.Fprintln(t.out)
	if len(findings) == 0 {
		t.heading("no findings")
		return
	}
	t.heading("findings")
	for _, f := range findings {
		code := t.paint(bold, string(f.Code))
		if f.Lost {
			code = t.paint(alarm, string(f.Code)+" (footage lost)")
		}
		fmt.Fprintf(t.out, "  %s  %s: %s\n", f.At.Clock(), code, f.Text)
		fmt.Fprintf(t.out, "  %s  → %s\n", strings.Repeat(" ", len(f.At.Clock())), f.Remedy)
	}
}
