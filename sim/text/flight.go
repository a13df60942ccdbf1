package text

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// Flights writes the readable report of replay: the verdict, flicks, takes, armed
// time, findings, then how log and rig were read. Long lists of flicks and takes
// are summed up, unless full asks for every row.
func (p *Printer) Flights(flights []flight.Flight, full bool) {
	for i, f := range flights {
		if i > 0 {
			fmt.Fprintln(p.out)
		}
		if len(flights) > 1 {
			f.Card = nil // shown once, with the totals
		}
		p.printFlight(&f, full)
	}
	if len(flights) > 1 {
		p.printTotals(flights)
	}
}

// printTotals sums up several flights.
func (p *Printer) printTotals(flights []flight.Flight) {
	o := flight.OutingOf(flights)
	fmt.Fprintln(p.out)
	p.Heading(fmt.Sprintf("%d flights in all", len(flights)))
	fmt.Fprintln(p.out, o.Total.FlickSummary()+"; "+o.Total.RecordedSummary())
	for _, line := range []string{o.Total.ArmedSummary(), o.CardSummary()} {
		if line != "" {
			fmt.Fprintln(p.out, line)
		}
	}
	fmt.Fprintln(p.out)
	p.Table(func(w io.Writer) {
		fmt.Fprintln(w, "\tflicks toggled\ttakes\trecorded\tarmed, not recorded\tclips")
		for _, row := range o.Rows {
			fmt.Fprintln(w, strings.Join([]string{row.Log, row.Toggled, row.Takes, row.Recorded, row.Missed, row.Clips}, "\t"))
		}
		for i, line := range flights[0].Card {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "card"), line)
		}
	})
}

func (p *Printer) printFlight(f *flight.Flight, full bool) {
	r := f.Replay
	heading := withRig(r.Rig, f.Log())
	if f.Reading.Sender != "" {
		heading += ": " + f.Reading.Sender
	}
	p.Heading(heading)
	fmt.Fprintln(p.out, excerpt.Wrap("", tell.Summary(r), textWidth))
	p.printClips(f, full)
	full = full || isShort(r)
	if full {
		p.printFlicks(r)
		p.printTakes(r)
		p.printArmed(r)
	} else {
		if f.ClipRows() != nil {
			fmt.Fprintln(p.out)
		}
		p.printSums(r)
	}
	p.printKnown(f, full)
	p.printFindings(f.Findings, full)
	fmt.Fprintln(p.out)
	p.printReading(f, full)
}

// printReading says how log, rig and card were read.
func (p *Printer) printReading(f *flight.Flight, full bool) {
	log := tell.LogLines(f.Replay, f.Reading.OnChange)
	if full || f.Reading.SkippedLines+f.Reading.TornLines > 0 {
		log = append(log, f.Reading.Facts...)
	}
	for _, oddity := range f.Reading.Odd {
		log = append(log, "note: "+oddity)
	}
	rig := rigLines(f.Replay, full)
	p.Table(func(w io.Writer) {
		for i, line := range log {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "log"), line)
		}
		for i, line := range rig {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "rig"), line)
		}
		for i, line := range f.Card {
			fmt.Fprintf(w, "%s\t%s\n", onlyFirst(i, "card"), line)
		}
	})
}

// textWidth is the width of text.
const textWidth = 80

// rigLines describes the settings that decide the outcome.
func rigLines(r *sim.Replay, full bool) []string {
	c, rig := r.Rig.Camera, r.Rig
	if !full {
		both := tell.Toggles(r) + "; min_press and long_press are " + ThresholdSource(c)
		return strings.Split(excerpt.Wrap("", both, textWidth-len("  card  ")), "\n")
	}
	toggles := fmt.Sprintf("%s on %s", tell.Toggles(r), c.ToggleOn)
	if !c.Zones().Endless() {
		toggles += fmt.Sprintf("; a longer one: %s", c.LongAction)
	}
	lines := []string{
		toggles,
		"min_press and long_press are " + ThresholdSource(c),
	}
	press := "pressed from " + tell.Ranges(rig.Switch.Press)
	if rig.OneShot.Trigger != sim.TriggerOff {
		press += fmt.Sprintf("; one-shot of %s (%s)", rig.OneShot.Width.Rounded(), rig.OneShot.Trigger)
	}
	if rig.Line.Update > 0 {
		press += fmt.Sprintf("; line refreshed every %s", rig.Line.Update.Rounded())
	}
	return append(lines, press)
}

func (p *Printer) printFlicks(r *sim.Replay) {
	fmt.Fprintln(p.out)
	attempts := lanes.Attempts(r)
	if len(attempts) == 0 {
		p.Heading("no flick")
		return
	}
	p.longTable(len(attempts), func(table *longTable) {
		table.row("flick", "at", "held", "by hand", "outcome", "margin", "then")
		for _, a := range attempts {
			outcome := a.Look(r).Name()
			if a.Doubtful() {
				outcome += " (doubtful)"
			}
			table.row(a.Number(), a.From.Clock(), a.Held(), a.ByHand(r), outcome, a.Margin(r), string(a.After(r)))
		}
	})
}

func (p *Printer) printTakes(r *sim.Replay) {
	fmt.Fprintln(p.out)
	if len(r.Takes) == 0 {
		p.Heading("no take")
		return
	}
	p.longTable(len(r.Takes), func(table *longTable) {
		table.row("take", "from", "to", "length", "ended by")
		for _, k := range r.Takes {
			table.row(strconv.Itoa(k.N), k.Start.Clock(), k.End.Clock(), k.Length().Readable(), tell.Ended(k))
		}
	})
}

func (p *Printer) printArmed(r *sim.Replay) {
	a := r.Armed
	if a == nil {
		return
	}
	var missed []string
	for _, m := range a.Missed(r.Takes) {
		missed = append(missed, m.From.Clock()+" to "+m.To.Clock())
	}
	text := "missed nothing while armed"
	switch total := tell.TotalOf(r); {
	case total.Unknown > 0:
		text = "what was missed while armed is not known"
	case len(missed) > 0:
		text = fmt.Sprintf("missed while armed, %s: %s", (a.Armed - a.Recorded).Readable(), strings.Join(missed, ", "))
	}
	fmt.Fprintln(p.out, excerpt.Wrap(tableIndent, text, textWidth))
}

func (p *Printer) printFindings(findings []tell.Finding, full bool) {
	fmt.Fprintln(p.out)
	switch {
	case len(findings) == 0:
		p.Heading("no findings")
	case full:
		p.Heading("findings")
	}
	var again map[tell.Code][]string
	if !full {
		findings, again = joinAlike(findings)
	}
	for _, f := range findings {
		style := bold
		if f.Costs {
			style = alarm
		}
		code, at := string(f.Code), tableIndent+f.At.Clock()+"  "
		sentence := strings.Replace(f.Text, " at "+f.At.Clock(), "", 1) // it precedes the text
		text := excerpt.Wrap(at, code+": "+sentence, textWidth)
		fmt.Fprintln(p.out, strings.Replace(text, code, p.paint(style, code), 1))
		indent := strings.Repeat(" ", len(at))
		if more := again[f.Code]; len(more) > fewItems/2 {
			fmt.Fprintln(p.out, excerpt.Wrap(indent, fmt.Sprintf("%d more, the first at %s, the last at %s (each: --full)", len(more), more[0], more[len(more)-1]), textWidth))
		} else if len(more) > 0 {
			fmt.Fprintln(p.out, excerpt.Wrap(indent, "and at "+strings.Join(more, ", ")+" (each: --full)", textWidth))
		}
		fmt.Fprintln(p.out, excerpt.Wrap(indent+"→ ", f.Remedy, textWidth))
	}
}

func (p *Printer) printKnown(f *flight.Flight, full bool) {
	lines := f.KnownLines()
	if lines == nil {
		return
	}
	if !full {
		lines = cutLong(lines)
	}
	fmt.Fprintln(p.out)
	p.Heading("what is not known")
	p.Table(func(w io.Writer) {
		for _, line := range lines {
			fmt.Fprintf(w, "%s\t%s\n", line.Name, line.Text)
		}
	})
	if keys := f.Known.NarrowedKeys(); len(keys) > 0 {
		fmt.Fprintln(p.out)
		p.Heading("narrowed down, for the rig file")
		fmt.Fprintln(p.out, "  [camera]")
		for _, key := range keys {
			fmt.Fprintln(p.out, "  "+key)
		}
	}
}

// printClips shows which clip is which take.
func (p *Printer) printClips(f *flight.Flight, full bool) {
	rows := f.ClipRows()
	if rows == nil {
		return
	}
	if !full {
		rows = joinStrays(rows)
	}
	fmt.Fprintln(p.out)
	p.Heading("clips")
	p.Table(func(w io.Writer) {
		fmt.Fprintln(w, "clip\tname\tlength\ttake\tits length\toff by")
		for _, r := range rows {
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\n", r.Clip, excerpt.Printable(r.Name), r.Length, r.Take, r.Its, r.Off)
		}
	})
}

// withRig puts the rig's name, if it has one, before a heading.
func withRig(rig sim.Rig, heading string) string {
	if rig.Name == "" {
		return heading
	}
	return excerpt.Printable(rig.Name) + ", " + heading
}

// ThresholdSource says where min_press and long_press come from. A default is an
// example that fits no camera for certain.
func ThresholdSource(c sim.CameraSpec) string {
	examples := sim.DefaultRig().Camera
	switch {
	case c.MinPress == examples.MinPress && c.LongPress == examples.LongPress:
		return "examples until you measure them (flicktally calibrate)"
	case c.MinPress == examples.MinPress:
		return "the rig file's, but min_press is an example until you measure it (flicktally calibrate)"
	case c.LongPress == examples.LongPress:
		return "the rig file's, but long_press is an example until you measure it (flicktally calibrate)"
	default:
		return "the rig file's"
	}
}
