package text

import (
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// A flight with many flicks is summed up, so that its verdict and its findings
// fit on one screen.

// The most rows that the lists of a short flight have.
const fewRows = 5

// isShort reports whether every flick and take of a flight is listed by
// default.
func isShort(r *sim.Replay) bool { return len(r.Flicks) <= fewRows && len(r.Takes) <= fewRows }

// printSums sums up flicks, takes and missed time.
func (p *Printer) printSums(r *sim.Replay) {
	p.sum("flicks", strings.Join(flickRuns(r), ", ")+heldWhereToggled(r)+" (each: --full)")
	switch {
	case len(r.Takes) == 0:
		p.sum("takes", "none")
	case len(r.Takes) <= fewRows:
		for _, take := range r.Takes {
			p.sum(fmt.Sprintf("take %d", take.N), takeSum(take))
		}
	default:
		var takes []string
		for _, take := range r.Takes {
			takes = append(takes, fmt.Sprintf("%d: %s", take.N, takeSum(take)))
		}
		p.sum("takes", strings.Join(takes, "; "))
	}
	if r.Armed != nil {
		p.sum("missed", missedSum(r))
	}
}

// sum prints a row of the summed-up flight.
func (p *Printer) sum(name, text string) {
	fmt.Fprintln(p.out, excerpt.Wrap(fmt.Sprintf("%s%-8s", tableIndent, name), text, textWidth))
}

// flickRuns lists the outcomes of the flicks in order, joining equal
// neighbours.
func flickRuns(r *sim.Replay) []string {
	var runs []string
	name := func(first, last, outcome string) string {
		if first != last {
			first += "–" + last
		}
		return first + " " + outcome
	}
	var first, last, outcome string
	for _, a := range lanes.Attempts(r) {
		came := a.Look(r).Name()
		if a.Doubtful() {
			came += "?"
		}
		if came != outcome || a.Flick == nil {
			if outcome != "" {
				runs = append(runs, name(first, last, outcome))
			}
			first, outcome = a.Number(), came
		}
		last = a.Number()
	}
	return append(runs, name(first, last, outcome))
}

// heldWhereToggled says how long the flicks that toggled were held; "" if none
// did.
func heldWhereToggled(r *sim.Replay) string {
	var holds, spare []sim.Micros
	for _, f := range r.Flicks {
		if f.Outcome != sim.FlickToggled || f.Press == 0 || r.Presses[f.Press-1].Open() {
			continue
		}
		press := r.Presses[f.Press-1]
		holds = append(holds, press.Hold())
		if least, ok := tell.Spare(r, press); ok {
			spare = append(spare, least)
		}
	}
	if len(holds) == 0 {
		return ""
	}
	text := fmt.Sprintf("; those that toggled: %s to %s", slices.Min(holds).Rounded(), slices.Max(holds).Rounded())
	if len(spare) == len(holds) {
		text += ", " + slices.Min(spare).Rounded() + " to spare"
	}
	return text
}

// takeSum describes a take in a few words.
func takeSum(t sim.Take) string {
	text := fmt.Sprintf("%s to %s, %s", t.Start.Clock(), t.End.Clock(), t.Length().Readable())
	if t.Ended != sim.EndPress {
		text += ", ended by " + tell.Ended(t)
	}
	return text
}

// missedSum says when the craft was armed and nothing was recorded.
func missedSum(r *sim.Replay) string {
	missed := r.Armed.Missed(r.Takes)
	switch total := tell.TotalOf(r); {
	case total.Unknown > 0:
		return total.MissedTime()
	case len(missed) == 0:
		return "nothing while armed"
	}
	var spans []string
	longest := missed[0]
	for _, m := range missed {
		spans = append(spans, m.From.Clock()+" to "+m.To.Clock())
		if m.Length() > longest.Length() {
			longest = m
		}
	}
	if len(spans) <= fewRows {
		return strings.Join(spans, ", ")
	}
	return fmt.Sprintf("%s in %d stretches, the longest %s from %s on", (r.Armed.Armed - r.Armed.Recorded).Readable(),
		len(missed), longest.Length().Readable(), longest.From.Clock())
}
