package text

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

// A flight with many flicks is summed up, so that its verdict and its findings
// fit on one screen.
const (
	fewRows  = 5  // at most, in the lists of a short flight
	fewItems = 24 // at most, in a list in running text
)

// isShort reports whether every flick and take of a flight is listed by
// default.
func isShort(r *sim.Replay) bool { return len(r.Flicks) <= fewRows && len(r.Takes) <= fewRows }

// printSums sums up flicks, takes and missed time.
func (p *Printer) printSums(r *sim.Replay) {
	flicks := strings.Join(flickRuns(r), ", ")
	if len(r.Flicks) > fewItems {
		flicks = strings.Join(flicksByOutcome(r), "; ")
	}
	p.sum("flicks", flicks+heldWhereToggled(r)+" (--full lists each)")
	switch {
	case len(r.Takes) == 0:
		p.sum("takes", "none")
	case len(r.Takes) > fewItems/2:
		byLength := func(a, b sim.Take) int { return cmp.Compare(a.Length(), b.Length()) }
		shortest, longest := slices.MinFunc(r.Takes, byLength).Length().Readable(), slices.MaxFunc(r.Takes, byLength).Length().Readable()
		if shortest != longest {
			longest = shortest + " to " + longest
		}
		p.sum("takes", fmt.Sprintf("%d, %s long", len(r.Takes), longest))
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

// flicksByOutcome counts the flicks of each outcome, and numbers those that did
// not toggle for certain.
func flicksByOutcome(r *sim.Replay) []string {
	var outcomes []string
	count, numbers := map[string]int{}, map[string][]int{}
	for _, a := range lanes.Attempts(r) {
		outcome := outcomeOf(a, r)
		if count[outcome]++; count[outcome] == 1 {
			outcomes = append(outcomes, outcome)
		}
		if a.Flick != nil && outcome != lanes.Toggled.Name() {
			numbers[outcome] = append(numbers[outcome], a.Flick.N)
		}
	}
	for i, outcome := range outcomes {
		outcomes[i] = fmt.Sprintf("%d %s", count[outcome], outcome)
		if n := numbers[outcome]; len(n) > fewItems {
			outcomes[i] += fmt.Sprintf(": %s and %d more", tell.Numbers(n[:fewItems]), len(n)-fewItems)
		} else if len(n) > 0 {
			outcomes[i] += ": " + tell.Numbers(n)
		}
	}
	return outcomes
}

// outcomeOf names an outcome, with "?" if it may be another.
func outcomeOf(a lanes.Attempt, r *sim.Replay) string {
	if a.Doubtful() {
		return a.Look(r).Name() + "?"
	}
	return a.Look(r).Name()
}

// flickRuns lists the outcomes of the flicks in order, joining equal
// neighbours. Presses without a flick, such as those of a lost signal, are
// counted where they come.
func flickRuns(r *sim.Replay) []string {
	attempts := lanes.Attempts(r)
	var runs []string
	for from := 0; from < len(attempts); {
		first, to := attempts[from], from+1
		for to < len(attempts) && outcomeOf(attempts[to], r) == outcomeOf(first, r) && (attempts[to].Flick == nil) == (first.Flick == nil) {
			to++
		}
		name := first.Number()
		switch {
		case first.Flick == nil:
			name = fmt.Sprintf("%d without a flick", to-from)
		case to-from > 1:
			name += "–" + attempts[to-1].Number()
		}
		runs = append(runs, name+" "+outcomeOf(first, r))
		from = to
	}
	return runs
}

// heldWhereToggled says how long the flicks that toggled were held; "" if none
// did.
func heldWhereToggled(r *sim.Replay) string {
	var holds, spare []sim.Micros
	for _, f := range r.Flicks {
		if f.Outcome != sim.FlickToggled || r.Presses[f.Press-1].Open() {
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
	text := "; those that toggled: " + sim.Interval{Low: slices.Min(holds), High: slices.Max(holds)}.Rounded()
	if len(spare) == len(holds) {
		text += ", " + slices.Min(spare).Rounded() + " to spare"
	}
	return text
}

// joinStrays joins runs of clips that match no take, such as those of earlier
// flights.
func joinStrays(rows []belief.ClipRow) []belief.ClipRow {
	var joined []belief.ClipRow
	for len(rows) > 0 {
		n := slices.IndexFunc(rows, func(r belief.ClipRow) bool { return r.Take != "none" })
		if n < 0 {
			n = len(rows)
		}
		if n > fewRows {
			first, last := rows[0], rows[n-1]
			first.Clip += "–" + last.Clip
			if first.Name != "" {
				first.Name += " to " + last.Name
			}
			first.Length = "-"
			joined, rows = append(joined, first), rows[n:]
			continue
		}
		n = min(n+1, len(rows))
		joined, rows = append(joined, rows[:n]...), rows[n:]
	}
	return joined
}

// cutLong shortens each list of lines under one name to a few.
func cutLong(lines []belief.Line) []belief.Line {
	var cut []belief.Line
	for len(lines) > 0 {
		n := 1
		for n < len(lines) && lines[n].Name == "" {
			n++
		}
		if n > fewRows+1 {
			cut = append(append(cut, lines[:fewRows]...), belief.Line{Text: fmt.Sprintf("and %d more (--full lists each)", n-fewRows)})
		} else {
			cut = append(cut, lines[:n]...)
		}
		lines = lines[n:]
	}
	return cut
}

// joinAlike keeps only the first of many findings with one code, and returns the
// times of the others.
func joinAlike(findings []tell.Finding) (joined []tell.Finding, again map[tell.Code][]string) {
	count, again := map[tell.Code]int{}, map[tell.Code][]string{}
	for _, f := range findings {
		count[f.Code]++
	}
	seen := map[tell.Code]bool{}
	for _, f := range findings {
		if count[f.Code] > fewRows && seen[f.Code] {
			again[f.Code] = append(again[f.Code], f.At.Clock())
			continue
		}
		seen[f.Code] = true
		joined = append(joined, f)
	}
	return joined, again
}

// takeSum describes a take in a few words.
func takeSum(t sim.Take) string {
	text := fmt.Sprintf("%s to %s, %s", t.Start.Clock(), t.End.Clock(), t.Length().Readable())
	if t.Ended != sim.EndPress {
		text += ", ended by " + tell.Ended(t)
	}
	return text
}

// spansText lists spans by their clock times.
func spansText(spans []sim.Span) string {
	texts := make([]string, len(spans))
	for i, s := range spans {
		texts[i] = s.From.Clock() + " to " + s.To.Clock()
	}
	return strings.Join(texts, ", ")
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
	if len(missed) <= fewRows {
		return spansText(missed)
	}
	longest := slices.MaxFunc(missed, func(a, b sim.Span) int { return cmp.Compare(a.Length(), b.Length()) })
	return fmt.Sprintf("%s in %d stretches, the longest %s from %s on", (r.Armed.Armed - r.Armed.Recorded).Readable(),
		len(missed), longest.Length().Readable(), longest.From.Clock())
}
