// Package progress writes what was practised as text to read.
package progress

import (
	"fmt"
	"io"
	"strings"
	"time"

	"flicktally/sim"
	"flicktally/sim/stat"
	"flicktally/sim/text"
	"flicktally/trainer"
	"flicktally/trainer/history"
)

// Write writes, for each rig and device, what was practised in each period, and the
// progress of each drill as of now. Times are local.
func Write(to *text.Printer, h *history.History, period func(time.Time) time.Time, now time.Time) {
	for i, p := range h.Profiles() {
		if i > 0 {
			fmt.Fprintln(to)
		}
		practised := p.Practised(time.Local)
		to.Heading(p.Title())
		printPeriods(to, trainer.Progress(practised, period))
		printDrills(to, p, practised, now)
	}
	fmt.Fprint(to, `
toggled  share of flicks that toggled, with its 95 % interval (Wilson)
hold     mean of the hand's holds, whether they toggled or not, without patterns; spread: their standard deviation
slips    holds far from the others (over 4 robust standard deviations and a factor of 2), left out of both
first    the first flick of a day, cold; counted only here
`)
}

func printPeriods(to *text.Printer, periods []trainer.Period) {
	to.Table(func(w io.Writer) {
		fmt.Fprintln(w, "from\tdrills\tflicks\ttoggled\thold\tspread\tslips\tfirst\ttrials")
		for _, p := range periods {
			fmt.Fprintf(w, "%s\t%d\t%d\t%s\t%s\t%s\t%d\t%s\t%s\n", p.From.Format(time.DateOnly), p.Drills, p.Toggled.Trials,
				rateText(p.Toggled), millis(p.Holds.Mean, p.Holds.N > 0), millis(p.Holds.SD, p.Holds.N > 1),
				p.Slips.Hits, ofText(p.Cold), mixText(p.Mix))
		}
	})
}

func printDrills(to *text.Printer, p history.Profile, practised []trainer.Practised, now time.Time) {
	past := p.Past(now)
	to.Table(func(w io.Writer) {
		fmt.Fprintln(w, "drill\ttrials\tright\toff\tlevel\t")
		for _, s := range trainer.KindScores(practised) {
			off := "-"
			if s.Off.N > 1 {
				off = sim.Micros(s.Off.Mean).Signed() + ", ±" + sim.Micros(s.Off.SD).Rounded()
			}
			reliability := past.Reliability(s.Kind)
			fmt.Fprintf(w, "%s\t%d\t%s\t%s\t%d\t%s\n", s.Kind.Title(), s.Right.Trials, rateText(s.Right), off,
				past.Level(s.Kind), reliability.Words())
		}
	})
	if due := past.Due(); len(due) > 0 {
		fmt.Fprintf(to, "  due for a recheck: %s\n", trainer.Titles(due))
	}
	next := past.Next()
	fmt.Fprintf(to, "  next: flicktally practise %s   (%s)\n", next, next.Title())
}

// rateText writes "94 % (87 to 97)".
func rateText(r stat.Rate) string {
	if r.Trials == 0 {
		return "-"
	}
	i := r.Wilson(trainer.Confidence)
	return fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*r.Value(), 100*i.Low, 100*i.High)
}

func ofText(r stat.Rate) string {
	if r.Trials == 0 {
		return "-"
	}
	return fmt.Sprintf("%d of %d", r.Hits, r.Trials)
}

// millis writes a time in µs as "352 ms", or "-" if it is not known.
func millis(micros float64, known bool) string {
	if !known {
		return "-"
	}
	return sim.Micros(micros).Rounded()
}

// mixText writes "flick 12, take 4", in the order of the drills.
func mixText(mix map[trainer.Kind]int) string {
	var parts []string
	for _, k := range trainer.Kinds {
		if n := mix[k]; n > 0 {
			parts = append(parts, fmt.Sprintf("%s %d", k, n))
		}
	}
	return strings.Join(parts, ", ")
}
