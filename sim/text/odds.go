package text

import (
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"

	"flicktally/sim"
	"flicktally/sim/odds"
	"flicktally/sim/stat"
	"flicktally/sim/tell"
)

// Odds writes the report of odds: the assumptions, the hold to aim
// for, the chances over the hold, what to change.
func (p *Printer) Odds(o *odds.Report) {
	p.Heading(withRig(o.Case.Rig, "odds of a flick"))
	p.Table(func(w io.Writer) {
		fmt.Fprintf(w, "pilot\tholds scatter by %s (standard deviation): %s\n", spaced(o.Case.Pilot.Spread.String()), o.Source)
		if o.Slips.Trials > 0 {
			row(w, "slips", slipsText(o.Slips))
		}
		listed(w, "rig", oddsRigLines(o))
		row(w, "method", oddsMethodText(o))
	})
	fmt.Fprintln(p.out)
	p.printAim(o)
	fmt.Fprintln(p.out)
	p.printOddsTable(o)
	fmt.Fprintln(p.out)
	p.printChanges(o)
}

// oddsRigLines describes the settings that decide the odds.
func oddsRigLines(o *odds.Report) []string {
	rig := o.Case.Rig
	c := rig.Camera
	parts := []string{"no link frames in the rig: the switch acts at once"}
	if rig.Link.Frame > 0 {
		parts[0] = fmt.Sprintf("link frames every %s, %s of them lost", rig.Link.Frame.Rounded(), percentText(rig.Link.Loss))
	}
	if rig.Switch.Settle > 0 {
		parts = append(parts, "settle "+rig.Switch.Settle.Rounded())
	}
	if rig.OneShot.Trigger != sim.TriggerOff {
		parts = append(parts, fmt.Sprintf("one-shot of %s (%s)", rig.OneShot.Width.Rounded(), rig.OneShot.Trigger))
	}
	if rig.Line.Update > 0 {
		parts = append(parts, "line refreshed every "+rig.Line.Update.Rounded())
	}
	lines := []string{
		strings.Join(parts, "; "),
		fmt.Sprintf("camera: min_press %s, long_press %s; %s", c.MinPress.Rounded(), c.LongPress.Rounded(), ThresholdSource(c)),
	}
	if o.Case.Pilot.Bounce > 0 {
		lines = append(lines, fmt.Sprintf("the contacts bounce for up to %s after a move", o.Case.Pilot.Bounce.Rounded()))
	}
	return lines
}

func oddsMethodText(o *odds.Report) string {
	if !o.Case.Closed() {
		return fmt.Sprintf("simulation of %d flicks for each hold, seed %d", o.Sampling.Flicks, o.Sampling.Seed)
	}
	errors, flicks := o.WorstCheck()
	if errors == 0 {
		return fmt.Sprintf("formula; nearly all of %d simulated flicks had the same outcome", flicks)
	}
	return fmt.Sprintf("formula; %d simulated flicks (seed %d) agree to within %.1f standard errors",
		flicks, o.Sampling.Seed, errors)
}

// printAim shows the hold to aim for, and how far off a hold may be.
func (p *Printer) printAim(o *odds.Report) {
	if !o.Case.HoldMatters() {
		p.Heading("any hold: each move of the switch toggles")
	} else {
		p.Heading("aim for " + o.Study.Aim.Hold.Rounded())
	}
	p.Table(func(w io.Writer) {
		aim, flight := o.Study.Aim, o.Flights[o.Index(o.Study.Aim.Hold)]
		fmt.Fprintf(w, "a flick\ttoggles with a chance of %s\n", withError(aim.Chances[odds.Toggles], aim.Simulated))
		fmt.Fprintf(w, "a flight\tof %s loses nothing with a chance of %s\n", tell.Counted(o.Flicks, "flick", "flicks"), withError(flight.Chance, flight.Simulated))
		if o.Saves > 0 {
			row(w, "your hand", fmt.Sprintf("loses %.3g fewer of 1000 flicks at %s", 1000*o.Saves, o.Study.Best.Hold.Rounded()))
		}
		row(w, "safe band", SafeBand(o))
	})
}

// slipsText writes "3 of 14 flicks were slips: 21 % (8 to 48)".
func slipsText(r stat.Rate) string {
	within := r.Wilson(odds.Confidence)
	text := fmt.Sprintf("%d of %d flicks were slips: %.0f %% (%.0f to %.0f)", r.Hits, r.Trials, 100*r.Value(), 100*within.Low, 100*within.High)
	if r.Hits > 0 {
		text += ", part of every chance"
	}
	return text
}

// SafeBand says which holds toggle with the wanted chance.
func SafeBand(o *odds.Report) string {
	if o.Study.Band == nil {
		none := "none: " + NoSafeBand(o)
		if o.Slips.Hits > 0 {
			none += ", slips included"
		}
		return none
	}
	lowOpen, highOpen := o.Study.OpenEnded()
	low, high := o.Study.Band.Low.Rounded(), o.Study.Band.High.Rounded()
	switch {
	case lowOpen && highOpen:
		return fmt.Sprintf("any hold toggles with a chance of %s or more", oddsWantedText(o))
	case highOpen:
		return fmt.Sprintf("intended holds of %s or longer toggle with a chance of %s or more", low, oddsWantedText(o))
	case lowOpen:
		return fmt.Sprintf("intended holds of up to %s toggle with a chance of %s or more", high, oddsWantedText(o))
	}
	width := o.Study.Band.High - o.Study.Band.Low
	return fmt.Sprintf("intended holds of %s, %s wide, toggle with a chance of %s or more", o.Study.Band.Rounded(), width.Rounded(), oddsWantedText(o))
}

// NoSafeBand says that no hold toggles with the wanted chance.
func NoSafeBand(o *odds.Report) string {
	return fmt.Sprintf("no hold toggles with a chance of %s or more", oddsWantedText(o))
}

func oddsWantedText(o *odds.Report) string { return fmt.Sprintf("%g %%", 100*o.Wanted) }

func (p *Printer) printOddsTable(o *odds.Report) {
	title, shown := "chances by intended hold", odds.Outcomes
	if o.Case.Closed() {
		shown = shown[:odds.Twice] // a flick stays in one piece
	} else {
		title += ", ± standard error"
	}
	p.Heading(title)
	p.Table(func(w io.Writer) {
		cells := []string{"hold"}
		for _, outcome := range shown {
			cells = append(cells, outcomeTitles[outcome])
		}
		fmt.Fprintf(w, "%s\tno loss in %d\n", strings.Join(cells, "\t"), o.Flicks)
		for i, at := range o.Table {
			cells := []string{at.Hold.Rounded()}
			for _, outcome := range shown {
				cells = append(cells, withError(at.Chances[outcome], at.Simulated))
			}
			fmt.Fprintf(w, "%s\t%s%s\n", strings.Join(cells, "\t"), withError(o.Flights[i].Chance, o.Flights[i].Simulated), oddsHoldMark(o, at.Hold))
		}
	})
}

// OutcomeTitle names an outcome in tables and charts.
func OutcomeTitle(o odds.Outcome) string { return outcomeTitles[o] }

var outcomeTitles = [...]string{
	odds.Toggles: "toggles", odds.Missed: "not seen", odds.Short: "too short", odds.Long: "too long", odds.Twice: "several",
}

// oddsHoldMark marks the holds in the table that matter.
func oddsHoldMark(o *odds.Report, hold sim.Micros) string {
	switch {
	case hold == o.Study.Aim.Hold && o.Case.HoldMatters():
		return "\taim for this"
	case hold == o.Hold:
		return "\tyours now"
	case o.Saves > 0 && hold == o.Study.Best.Hold:
		return "\tfor your hand"
	}
	return ""
}

// printChanges ranks what could be changed.
func (p *Printer) printChanges(o *odds.Report) {
	if len(o.Changes) == 0 {
		p.Heading("nothing to change: no setting saves a flick in a million at " + o.Now.Hold.Rounded())
	} else {
		p.Heading("what to change, for a hold of " + o.Now.Hold.Rounded())
		p.Table(func(w io.Writer) {
			fmt.Fprintln(w, "change\tflicks saved of 1000\tnow\tinstead\tthen toggles")
			for _, c := range o.Changes {
				saves := fmt.Sprintf("%.3g", 1000*c.Saves)
				if !c.Sure {
					saves += " (within chance)"
				}
				fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", changeTitle(c), saves, spaced(c.From), spaced(c.To),
					withError(c.Answer.Chances[odds.Toggles], c.Answer.Simulated))
			}
		})
	}
	for _, note := range oddsChangeNotes(o) {
		fmt.Fprintln(p.out, "  "+note)
	}
}

// unspaced finds a number with its unit as in a rig file.
var unspaced = regexp.MustCompile(`(\d)(ms|µs|s|%)`)

// spaced puts a space between a number and its unit.
func spaced(text string) string { return unspaced.ReplaceAllString(text, "$1 $2") }

// changeTitle names the setting that a change is made to.
func changeTitle(c odds.Change) string {
	switch c.What {
	case "aim":
		return "aim for another hold"
	case "spread":
		return "practise: half the spread"
	case "window":
		return "measure the window, then aim"
	default:
		return c.What
	}
}

// oddsChangeNotes says what the ranking does not consider.
func oddsChangeNotes(o *odds.Report) []string {
	var notes []string
	if o.Slips.Hits > 0 {
		notes = append(notes, "practice reduces the scatter, but neither shifts the mean hold nor removes slips")
	}
	for _, c := range o.Changes {
		if c.What == "oneshot.trigger" && strings.HasPrefix(c.To, string(sim.TriggerBoth)) {
			notes = append(notes, "with a one-shot on both edges each move of the switch toggles, not each flick")
		}
		if c.What == "switch.settle" && o.Case.Pilot.Bounce == 0 {
			notes = append(notes, "a shorter settle costs nothing here because no bounce is assumed: try --bounce 6ms")
		}
	}
	return notes
}

// OddsNotes are the assumptions below a chart of the odds.
func OddsNotes(o *odds.Report) []string {
	notes := append(oddsRigLines(o), fmt.Sprintf("holds scatter by %s: %s", spaced(o.Case.Pilot.Spread.String()), o.Source))
	if o.Slips.Hits > 0 {
		notes = append(notes, slipsText(o.Slips))
	}
	return append(notes, "method: "+oddsMethodText(o))
}

// withError writes a chance, with its standard error if it was simulated.
func withError(p float64, simulated int) string {
	text := chanceText(p, simulated)
	if simulated > 0 && p > 0 && p < 1 {
		text += fmt.Sprintf(" ± %.2g", 100*math.Sqrt(p*(1-p)/float64(simulated)))
	}
	return text
}

// chanceText writes a chance. If all or none of the simulated flicks failed, it
// writes the 95 % confidence bound.
func chanceText(p float64, simulated int) string {
	if simulated == 0 || p > 0 && p < 1 {
		return percentText(p)
	}
	within := stat.Rate{Hits: int(p) * simulated, Trials: simulated}.Wilson(odds.Confidence)
	if p == 1 {
		return "> " + percentText(within.Low)
	}
	return "< " + percentText(within.High)
}

// percentText writes a chance with enough digits to show its distance from 0 or
// 100 %.
func percentText(p float64) string {
	const least = 1e-6
	switch off := min(p, 1-p); {
	case off <= 0 || off < 1e-12:
		return fmt.Sprintf("%.0f %%", 100*p)
	case off < least && p < 0.5:
		return "< 0.0001 %"
	case off < least:
		return "> 99.9999 %"
	default:
		decimals := max(0, min(4, int(math.Ceil(-math.Log10(100*off)))+1))
		return fmt.Sprintf("%.*f %%", decimals, 100*p)
	}
}
