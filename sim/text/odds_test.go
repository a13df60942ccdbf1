package text

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/odds"
	"flicktally/sim/stat"
)

// TestPercentText: what is missing to 0 or to 100 % shows, and nothing that is
// possible reads as impossible or certain.
func TestPercentText(t *testing.T) {
	for p, want := range map[float64]string{
		0: "0 %", 1: "100 %", 0.5: "50 %", 0.123: "12 %", 0.05: "5.0 %", 0.993: "99.30 %",
		0.999: "99.90 %", 0.99998: "99.9980 %", 0.9999999: "> 99.9999 %", 1e-7: "< 0.0001 %", 2e-5: "0.0020 %",
	} {
		require.Equal(t, want, percentText(p), "%v", p)
	}
}

// TestChanceText: a simulation that never failed proves no certainty. Of 0 in 30
// and 30 in 30 the Wilson interval of 95 % leaves 11.35 % (statsmodels' test
// results from R binom.confint: 0.11351339).
func TestChanceText(t *testing.T) {
	require.Equal(t, "> 89 %", chanceText(1, 30))
	require.Equal(t, "< 11 %", chanceText(0, 30))
	require.Equal(t, "50 %", chanceText(0.5, 30))
	require.Equal(t, "50 % ± 5", withError(0.5, 100), "√(0.25/100)")
	require.Equal(t, "50 %", withError(0.5, 0))
}

// question asks for the odds of ten flicks.
func question(change func(*sim.Rig), pilot odds.Pilot, hold sim.Micros) *odds.Query {
	q := &odds.Query{
		Case: odds.Case{Rig: with(change), Pilot: pilot}, Hold: hold, Source: "given",
		Flicks: 10, Wanted: 0.99, Sampling: odds.Sampling{Flicks: 64, Seed: 1},
	}
	if pilot.Slips.Rate > 0 {
		q.Slips = stat.Rate{Hits: 3, Trials: 14}
	}
	return q
}

func asked(change func(*sim.Rig), pilot odds.Pilot, hold sim.Micros) *odds.Report {
	return question(change, pilot, hold).Report()
}

// TestOdds has a hand whose holds scatter by 50 ms, and a press window from 80 to
// 400 ms. The chances are those of a normal distribution: with z = (hold − 80)/50 and
// (400 − hold)/50, a flick is too short or too long with the chance beyond each.
// From the table of the standard normal distribution (NIST/SEMATECH e-Handbook of
// Statistical Methods, section 1.3.6.7.1), 0.5 plus the area from 0 to z is 0.97725
// for z = 2, 0.99180 for 2.4, 0.99865 for 3 and 0.99931 for 3.2 (from memory).
func TestOdds(t *testing.T) {
	got := printed(func(p *Printer) {
		p.Odds(asked(func(r *sim.Rig) { r.Name, r.Camera.LongPress = "Heron", sim.Exactly(400*ms) }, odds.Pilot{Spread: odds.Spread{Fixed: 50 * ms}}, 200*ms))
	})
	assert.Contains(t, part(t, got, "Heron, odds of a flick"), `
  pilot   holds scatter by 50 ms (standard deviation): given
  rig     no link frames in the rig: the switch acts at once
          camera: min_press 80 ms, long_press 400 ms; from the rig file, but min_press is an example until you measure it (flicktally calibrate)
  method  formula; `)
	// √(80·400) = 179 ms. There z is 2 and more than 4, and 0.97725¹⁰ = 0.794. In the
	// middle, at 240 ms, both z are 3.2: 1 − 2·0.00069 = 0.9986, or 21.4 flicks of 1000
	// more. A chance of 99 % needs z = 2.326: 80 + 116.3 and 400 − 116.3 ms.
	assert.Equal(t, `aim for 180 ms
  a flick    toggles with a chance of 97.7 %
  a flight   of 10 flicks loses nothing with a chance of 79 %
  your hand  loses 21.4 fewer of 1000 flicks at 240 ms
  safe band  intended holds of 196 to 284 ms, 87 ms wide, toggle with a chance of 99 % or more`, part(t, got, "aim for"))
	// At 400 ms half are too long: 0.5¹⁰ = 0.00098. A hold below 0 is not seen, which
	// at 100 ms has z = 2.
	table := part(t, got, "chances by intended hold")
	assert.Contains(t, table, `chances by intended hold
  hold    toggles  not seen    too short   too long    no loss in 10
`)
	assert.Contains(t, table, "\n  100 ms  66 %     2.3 %       32 %        < 0.0001 %  1.5 %\n")
	assert.Contains(t, table, "\n  180 ms  97.7 %   0.016 %     2.3 %       0.0005 %    79 %    aim for this\n")
	assert.Contains(t, table, "\n  200 ms  99.18 %  0.0032 %    0.82 %      0.0032 %    92.1 %  yours now\n")
	assert.Contains(t, table, "\n  240 ms  99.86 %  < 0.0001 %  0.069 %     0.069 %     98.6 %  for your hand\n")
	assert.Contains(t, table, "\n  400 ms  50 %     0 %         < 0.0001 %  50 %        0.098 %\n")
	// At 200 ms, half the spread makes z 4.8 instead of 2.4, which saves nearly all of
	// 8.2 + 0.03 flicks of 1000; 240 ms saves 998.63 − 991.77 of them.
	changes := part(t, got, "what to change, for a hold of 200 ms")
	assert.Contains(t, changes, "\n  change                     flicks saved of 1000  now     instead               then toggles\n")
	assert.Contains(t, changes, "\n  practise: half the spread  8.23                  50 ms   25 ms                 > 99.9999 %\n")
	assert.Contains(t, changes, "\n  aim for another hold       6.85                  200 ms  240 ms                99.86 %")
}

// TestOddsOfASimulation: where contacts bounce there is no formula. Of 64 flicks that
// all toggled, Wilson's interval of 95 % leaves 3.84/(64 + 3.84) = 5.7 %. Another
// column counts the flicks that toggled more than once.
func TestOddsOfASimulation(t *testing.T) {
	q := question(func(r *sim.Rig) {
		r.Link = sim.LinkSpec{Frame: 20 * ms, Loss: 0.01}
		r.Switch.Settle, r.OneShot.Trigger, r.Line.Update = 20*ms, sim.TriggerRising, 10*ms
	}, odds.Pilot{Spread: odds.Spread{Fixed: ms}, Bounce: 6 * ms}, 0)
	q.Flicks = 1
	got := printed(func(p *Printer) { p.Odds(q.Report()) })
	assert.Equal(t, `odds of a flick
  pilot   holds scatter by 1 ms (standard deviation): given
  rig     link frames every 20 ms, 1.0 % of them lost; settle 20 ms; one-shot of 300 ms (rising); line refreshed every 10 ms
          camera: min_press 80 ms, long_press 1500 ms; examples until you measure them (flicktally calibrate)
          the contacts bounce for up to 6 ms after a move
  method  simulation of 64 flicks for each hold, seed 1`, part(t, got, "odds of a flick"))
	// Column widths depend on the simulated flicks.
	table := regexp.MustCompile(" +").ReplaceAllString(part(t, got, "chances by intended hold, ± standard error"), " ")
	assert.Contains(t, table, "\n hold toggles not seen too short too long several no loss in 1\n")
	assert.Contains(t, table, "\n 500 ms > 94.3 % < 5.7 % < 5.7 % < 5.7 % < 5.7 % > ")
}

// TestOddsSayHowTheFormulaWasChecked: against simulated flicks, unless they are too
// few for an outcome to occur ten times.
func TestOddsSayHowTheFormulaWasChecked(t *testing.T) {
	q := question(func(r *sim.Rig) { r.Camera.LongPress = sim.Exactly(400 * ms) }, odds.Pilot{Spread: odds.Spread{Fixed: 50 * ms}}, 200*ms)
	method := func(flicks int) (text string, errors float64, simulated int) {
		q.Sampling.Flicks = flicks
		o := q.Report()
		errors, simulated = o.WorstCheck()
		return part(t, printed(func(p *Printer) { p.Odds(o) }), "odds of a flick"), errors, simulated
	}
	text, errors, simulated := method(64)
	assert.Zero(t, errors)
	assert.Contains(t, text, fmt.Sprintf("\n  method  formula; nearly all of %d simulated flicks had the same outcome", simulated))
	text, errors, simulated = method(512)
	assert.Positive(t, errors)
	assert.Contains(t, text, fmt.Sprintf("\n  method  formula; %d simulated flicks (seed 1) agree to within %.1f standard errors", simulated, errors))
}

// TestOddsWhereHoldsDoNotMatter: a one-shot on both edges makes a press of each move.
func TestOddsWhereHoldsDoNotMatter(t *testing.T) {
	got := printed(func(p *Printer) {
		p.Odds(asked(func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerBoth }, odds.Pilot{Spread: odds.Spread{Relative: 0.1}}, 200*ms))
	})
	assert.Equal(t, `any hold: each move of the switch toggles
  a flick    toggles with a chance of 100 %
  a flight   of 10 flicks loses nothing with a chance of 100 %
  safe band  any hold toggles with a chance of 99 % or more`, part(t, got, "any hold"))
	assert.Contains(t, got, "\n  200 ms   100 %    0 %       0 %        0 %       100 %  yours now\n")
	assert.NotContains(t, got, "aim for this")
	assert.NotContains(t, got, "for your hand", "the best hold saves nothing")
	assert.Contains(t, got, "\nnothing to change: no setting saves a flick in a million at 200 ms\n")
	assert.Contains(t, got, "pilot   holds scatter by 10 % of the hold (standard deviation): given\n")
}

// TestSafeBand: a band that reaches an end of the holds that were computed is open
// there. A hold that scatters by 1 ms is safe 2.3 ms from a threshold.
func TestSafeBand(t *testing.T) {
	steady := odds.Pilot{Spread: odds.Spread{Fixed: ms}}
	for name, test := range map[string]struct {
		change func(*sim.Rig)
		pilot  odds.Pilot
		want   string
	}{
		"between two thresholds": {func(*sim.Rig) {}, steady,
			"intended holds of 82 to 1498 ms, 1415 ms wide, toggle with a chance of 99 % or more"},
		"no hold is too short": {func(r *sim.Rig) { r.Camera.MinPress = sim.Exactly(0) }, steady,
			"intended holds of up to 1498 ms toggle with a chance of 99 % or more"},
		// Settle leaves out what is not longer than 20 ms; the one-shot does the rest.
		"no hold is too long": {func(r *sim.Rig) { r.Switch.Settle, r.OneShot.Trigger = 20*ms, sim.TriggerRising }, steady,
			"intended holds of 22 ms or longer toggle with a chance of 99 % or more"},
		// In the middle, at 90 ms, both thresholds are 10 ms, or z = 0.2, away.
		"none": {func(r *sim.Rig) { r.Camera.LongPress = sim.Exactly(100 * ms) }, odds.Pilot{Spread: odds.Spread{Fixed: 50 * ms}},
			"none: no hold toggles with a chance of 99 % or more"},
		"none, with slips": {func(*sim.Rig) {}, odds.Pilot{Slips: odds.Slips{Rate: 3. / 14, Holds: []sim.Micros{30 * ms}}},
			"none: no hold toggles with a chance of 99 % or more, slips included"},
	} {
		assert.Equal(t, test.want, SafeBand(asked(test.change, test.pilot, 0)), name)
	}
}

// TestOddsWithSlips: 3 of 14 flicks are 21.4 %, and Wilson's interval of 95 % is
// (3 + 1.92 ± 1.96·√(3·11/14 + 0.96))/(14 + 3.84), or 7.6 to 47.6 %.
func TestOddsWithSlips(t *testing.T) {
	slips := odds.Pilot{Spread: odds.Spread{Fixed: 50 * ms}, Slips: odds.Slips{Rate: 3. / 14, Holds: []sim.Micros{30 * ms}}}
	o := asked(func(r *sim.Rig) { r.Camera.LongPress = sim.Interval{Low: 200 * ms, High: 400 * ms} }, slips, 0)
	const said = "3 of 14 flicks were slips: 21 % (8 to 48), part of every chance"
	got := printed(func(p *Printer) { p.Odds(o) })
	assert.Contains(t, got, "\n  slips   "+said+"\n")
	assert.Contains(t, got, "\n  measure the window, then aim  ")
	assert.Contains(t, got, "\n  practice reduces the scatter, but neither shifts the mean hold nor removes slips\n")
	assert.Contains(t, OddsNotes(o), said)

	o.Slips.Hits = 0
	got = printed(func(p *Printer) { p.Odds(o) })
	assert.Contains(t, got, "\n  slips   0 of 14 flicks were slips: 0 % (0 to 22)\n", "3.84/17.84 is 22 %")
	assert.NotContains(t, got, "practice reduces")
	assert.Len(t, OddsNotes(o), 4, "rig, camera, scatter, method")
}

// TestOddsNotes: the assumptions below a chart are those of the report.
func TestOddsNotes(t *testing.T) {
	q := question(func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerRising },
		odds.Pilot{Spread: odds.Spread{Fixed: 20 * ms, Relative: 0.1}, Bounce: 6 * ms}, 0)
	assert.Equal(t, []string{
		"no link frames in the rig: the switch acts at once; one-shot of 300 ms (rising)",
		"camera: min_press 80 ms, long_press 1500 ms; examples until you measure them (flicktally calibrate)",
		"the contacts bounce for up to 6 ms after a move",
		"holds scatter by 20 ms and 10 % of the hold: given",
		"method: simulation of 64 flicks for each hold, seed 1",
	}, OddsNotes(&odds.Report{Query: q}))
}

// TestChangesHaveTheirNotes: what a change costs that its saving does not show, and
// whether the saving may be luck.
func TestChangesHaveTheirNotes(t *testing.T) {
	const both = "  with a one-shot on both edges each move of the switch toggles, not each flick\n"
	const settle = "  a shorter settle costs nothing here because no bounce is assumed: try --bounce 6ms\n"
	for name, test := range map[string]struct {
		change odds.Change
		bounce sim.Micros
		want   string
	}{
		"a one-shot on both edges": {odds.Change{What: "oneshot.trigger", From: "off", To: "both, width 350ms", Saves: 0.1, Sure: true}, 0,
			"  oneshot.trigger  100                   off  both, width 350 ms  0 %\n" + both},
		"a one-shot on one": {odds.Change{What: "oneshot.trigger", From: "off", To: "rising", Saves: 0.1, Sure: true}, 0,
			"  oneshot.trigger  100                   off  rising   0 %\n"},
		"no settle": {odds.Change{What: "switch.settle", From: "50ms", To: "0s", Saves: 0.0125, Sure: true}, 0,
			"  switch.settle  12.5                  50 ms  0 s      0 %\n" + settle},
		"no settle, with bounce": {odds.Change{What: "switch.settle", From: "50ms", To: "0s", Saves: 0.0125, Sure: true}, 6 * ms,
			"  switch.settle  12.5                  50 ms  0 s      0 %\n"},
		"not sure": {odds.Change{What: "link.frame", From: "20ms", To: "4ms", Saves: 0.01}, 0,
			"  link.frame  10 (within chance)    20 ms  4 ms     0 %\n"},
	} {
		o := asked(func(*sim.Rig) {}, odds.Pilot{Spread: odds.Spread{Fixed: ms}}, 200*ms)
		o.Case.Pilot.Bounce, o.Changes = test.bounce, []odds.Change{test.change}
		got := printed(func(p *Printer) { p.printChanges(o) })
		_, rows, _ := strings.Cut(got, "then toggles\n")
		assert.Equal(t, test.want, rows, name)
	}
}

// TestOutcomeTitle: each outcome has words of its own.
func TestOutcomeTitle(t *testing.T) {
	var titles []string
	for _, o := range odds.Outcomes {
		titles = append(titles, OutcomeTitle(o))
	}
	assert.Equal(t, []string{"toggles", "not seen", "too short", "too long", "several"}, titles)
}
