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

// Flights writes the report of replay: the verdict, flicks, takes, armed time,
// findings, then how the log was read and which settings of the rig decided. Long
// lists of flicks and takes are summed up unless full is set.
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
		row(w, "", "flicks toggled", "takes", "recorded", "armed, not recorded", "clips")
		for _, r := range o.Rows {
			row(w, r.Log, r.Toggled, r.Takes, r.Recorded, r.Missed, r.Clips)
		}
		listed(w, "card", flights[0].Card)
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

// printReading says how the log and the card were read, and which settings of the
// rig decided.
func (p *Printer) printReading(f *flight.Flight, full bool) {
	log := tell.LogLines(f.Replay, f.Reading.OnChange)
	if full || f.Reading.SkippedLines+f.Reading.TornLines > 0 {
		log = append(log, f.Reading.Facts...)
	}
	for _, oddity := range f.Reading.Odd {
		log = append(log, "note: "+oddity)
	}
	p.Table(func(w io.Writer) {
		listed(w, "log", log)
		listed(w, "rig", rigLines(f.Replay, full))
		listed(w, "card", f.Card)
	})
}

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
	p.Table(func(w io.Writer) {
		row(w, "flick", "at", "held", "by hand", "outcome", "margin", "then")
		for _, a := range attempts {
			outcome := a.Look(r).Name()
			if a.Doubtful() {
				outcome += " (doubtful)"
			}
			row(w, a.Number(), a.From.Clock(), a.Held(), a.ByHand(r), outcome, a.Margin(r), string(a.After(r)))
		}
	})
}

func (p *Printer) printTakes(r *sim.Replay) {
	fmt.Fprintln(p.out)
	if len(r.Takes) == 0 {
		p.Heading("no take")
		return
	}
	p.Table(func(w io.Writer) {
		row(w, "take", "from", "to", "length", "ended by")
		for _, k := range r.Takes {
			row(w, strconv.Itoa(k.N), k.Start.Clock(), k.End.Clock(), k.Length().Readable(), tell.Ended(k))
		}
	})
}

func (p *Printer) printArmed(r *sim.Replay) {
	a := r.Armed
	if a == nil {
		return
	}
	missed := spansText(a.Missed(r.Takes))
	text := "missed nothing while armed"
	switch total := tell.TotalOf(r); {
	case total.Unknown > 0:
		text = "it is not known what was missed while armed"
	case missed != "":
		text = fmt.Sprintf("missed while armed, %s: %s", (a.Armed - a.Recorded).Readable(), missed)
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
			fmt.Fprintln(p.out, excerpt.Wrap(indent, fmt.Sprintf("%d more, the first at %s, the last at %s (--full lists each)", len(more), more[0], more[len(more)-1]), textWidth))
		} else if len(more) > 0 {
			fmt.Fprintln(p.out, excerpt.Wrap(indent, "and at "+strings.Join(more, ", ")+" (--full lists each)", textWidth))
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
			row(w, line.Name, line.Text)
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
		row(w, "clip", "name", "length", "take", "its length", "off by")
		for _, r := range rows {
			row(w, r.Clip, excerpt.Printable(r.Name), r.Length, r.Take, r.Its, r.Off)
		}
	})
}

// withRig puts the name of the rig, if it has one, before a heading.
func withRig(rig sim.Rig, heading string) string {
	if rig.Name == "" {
		return heading
	}
	return excerpt.Printable(rig.Name) + ", " + heading
}

// ThresholdSource says where min_press and long_press come from. A default is
// only an example of a camera.
func ThresholdSource(c sim.CameraSpec) string {
	examples := sim.DefaultRig().Camera
	const but = "from the rig file, but %s is an example until you measure it (flicktally calibrate)"
	switch {
	case c.MinPress == examples.MinPress && c.LongPress == examples.LongPress:
		return "examples until you measure them (flicktally calibrate)"
	case c.MinPress == examples.MinPress:
		return fmt.Sprintf(but, "min_press")
	case c.LongPress == examples.LongPress:
		return fmt.Sprintf(but, "long_press")
	default:
		return "from the rig file"
	}
}
