package text

import (
	"fmt"
	"io"

	"flicktally/sim"
	"flicktally/sim/fit"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// Window writes what trials show about a camera's press window, what to try next
// to reach the goal, and what goes into the rig file.
func (p *Printer) Window(w fit.Window, goal fit.Goal, camera sim.CameraSpec) {
	p.Heading("press window from " + tell.Counted(len(w.Trials), "trial", "trials"))
	thresholds := []fit.Threshold{w.MinPress, w.LongPress}
	p.Table(func(rows io.Writer) {
		row(rows, "threshold", "range", "most likely", "from")
		for _, threshold := range thresholds {
			row(rows, string(threshold.Name), threshold.RangeText(), threshold.BestText(), w.Evidence(threshold))
		}
	})
	for _, threshold := range thresholds {
		for _, line := range []string{w.SecondOpinion(threshold), w.Contradiction(threshold)} {
			if line != "" {
				fmt.Fprintln(p.out, tableIndent+line)
			}
		}
	}
	p.printNext(w, goal)
	p.printForRig(w, camera)
}

// printNext says what to try next, or what is left open if no trial is left.
func (p *Printer) printNext(w fit.Window, goal fit.Goal) {
	fmt.Fprintln(p.out)
	if next, more := w.Next(goal); more {
		fmt.Fprintf(p.out, "next hold to try, for %s: %s (%s)\n\n", next.For, next.Hold.Rounded(), next.Why)
		return
	}
	left := w.Left(goal)
	for _, threshold := range left {
		fmt.Fprintf(p.out, "%s is not known to %s after %s: %s\n", threshold.Name, goal.Of(threshold.Name).Rounded(),
			tell.Counted(len(w.Trials), "trial", "trials"), threshold.RangeText())
	}
	if len(left) > 0 {
		fmt.Fprintln(p.out, "More trials narrow this further: raise --trials.")
		fmt.Fprintln(p.out)
	}
}

// printForRig says what goes into the rig file, and which holds then toggle.
func (p *Printer) printForRig(w fit.Window, camera sim.CameraSpec) {
	known, missing := w.ForRig()
	if err := w.CheckOrder(); err != nil {
		fmt.Fprintf(p.out, "nothing for the rig file yet: %v\n", err)
		return
	}
	for _, why := range missing {
		fmt.Fprintf(p.out, "not for the rig file yet: %v\n", why)
	}
	if len(known) == 0 {
		return
	}
	p.Heading("for the rig file: wider, since a threshold may jitter from press to press")
	p.printRanges(known)
	if len(missing) == 0 {
		for _, k := range known {
			k.PutInto(&camera)
		}
		fmt.Fprintf(p.out, "  with these, %s\n", togglesText(camera))
	}
}

// printRanges prints ranges as the rig file has them.
func (p *Printer) printRanges(known []fit.Known) {
	fmt.Fprintln(p.out, "  [camera]")
	for _, k := range known {
		fmt.Fprintf(p.out, "  %s = [%q, %q]\n", k.Name, k.Range.Low, k.Range.High)
	}
}

// togglesText names the holds that toggle for good wherever in their ranges the
// thresholds lie.
func togglesText(camera sim.CameraSpec) string {
	zone := camera.ZonesAt(sim.Window{MinPress: camera.MinPress.High, LongPress: camera.LongPress.Low}).ForGood()
	if zone.To == sim.Never {
		return fmt.Sprintf("a hold of %s or more toggles", zone.From.Rounded())
	}
	return fmt.Sprintf("a hold from %s to less than %s toggles", zone.From.Rounded(), zone.To.Rounded())
}

// FoundWindow writes what the clips of flights show about the press window.
func (p *Printer) FoundWindow(flights []flight.Flight, found []flight.Found, known []fit.Known) {
	for _, line := range flights[0].Card {
		fmt.Fprintln(p.out, line)
	}
	p.Heading(fmt.Sprintf("press window from %s and %s", tell.Counted(len(flights), "flight", "flights"), tell.Counted(len(flights[0].Clips), "clip", "clips")))
	p.Table(func(rows io.Writer) {
		fmt.Fprintln(rows, "threshold\tstill possible\tsearched")
		for _, of := range found {
			text := "not narrowed"
			if of.Narrowed() {
				text = of.Range.Outward(sim.Millisecond).Rounded()
			}
			row(rows, string(of.Name), text, of.Asked.Rounded())
		}
	})
	if len(known) > 0 {
		fmt.Fprintln(p.out)
		p.Heading("for the rig file")
		p.printRanges(known)
	}
}
