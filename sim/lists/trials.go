package lists

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/fit"
)

var trialColumns = []column{
	{name: "hold", headers: []string{"held", "duration"}, required: true, isValue: func(f string) bool { _, err := ParseHold(f); return err == nil }},
	{name: "outcome", headers: []string{"result"}, required: true},
}

const wantHold = `a hold with a unit, such as "80ms" or "0.12s", or the unit in the header, as in hold_ms`

// ReadTrials reads a list of bench trials. name is for errors; an error in the
// list is an [*excerpt.SyntaxError].
func ReadTrials(r io.Reader, name string) ([]fit.Trial, error) {
	t, err := readTable(r, name, trialColumns)
	if err != nil {
		return nil, err
	}
	var trials []fit.Trial
	for _, row := range t.rows {
		hold := t.decimal(t.field(row, "hold"))
		if _, err := strconv.ParseFloat(hold, 64); err == nil {
			hold += t.units["hold"]
		}
		held, err := ParseHold(hold)
		if err != nil {
			return nil, t.errorOf(row, "hold", wantHold)
		}
		outcome := fit.Outcome(strings.ToLower(t.field(row, "outcome")))
		if !slices.Contains(fit.Outcomes, outcome) {
			return nil, t.errorOf(row, "outcome", sim.OneOf(fit.Outcomes))
		}
		trials = append(trials, fit.Trial{Hold: held, Outcome: outcome})
	}
	return trials, nil
}

// ParseHold reads a hold: a duration as in the rig file, with or without a space
// before its unit.
func ParseHold(text string) (sim.Micros, error) {
	if number, unit, spaced := strings.Cut(strings.TrimSpace(text), " "); spaced && !strings.ContainsAny(unit, "0123456789") {
		text = number + strings.TrimLeft(unit, " ")
	}
	return sim.ParseDuration(text)
}

// WriteTrials writes a list that ReadTrials reads back.
func WriteTrials(w io.Writer, trials []fit.Trial) error {
	if _, err := io.WriteString(w, "hold,outcome\n"); err != nil {
		return err
	}
	for _, t := range trials {
		if _, err := fmt.Fprintf(w, "%s,%s\n", t.Hold, t.Outcome); err != nil {
			return err
		}
	}
	return nil
}
