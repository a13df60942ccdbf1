package season

import (
	"fmt"
	"math"
	"path"
	"time"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/stat"
	"flicktally/sim/tell"
)

// Section is a part of the report in words: lines, then a table.
type Section struct {
	Heading string
	Lines   []string
	Columns []string // nil if there is no table
	Rows    [][]string
}

// Title names the season: rig, flights, days.
func (s *Season) Title() string {
	name := "season"
	if s.Rig.Name != "" {
		name = excerpt.Printable(s.Rig.Name) + ", season"
	}
	flights := s.Flights()
	if len(flights) == 0 {
		return name + " without a flight"
	}
	title := fmt.Sprintf("%s: %s on %s, %s", name, tell.Counted(len(flights), "flight", "flights"),
		tell.Counted(len(s.Days), "day", "days"), flights[0].day())
	if first, last := flights[0].day(), flights[len(flights)-1].day(); last != first {
		title += " to " + last
	}
	return title
}

// Verdict returns the results of all flicks in one line.
func (s *Season) Verdict() string {
	if s.Flicks.Trials == 0 {
		return "no flicks"
	}
	text := fmt.Sprintf("%d of %d flicks toggled, %s", s.Flicks.Hits, s.Flicks.Trials, rate(s.Flicks))
	if s.Doubt > 0 {
		text += fmt.Sprintf(", %d of them in doubt", s.Doubt)
	}
	text += "; recorded " + s.Recorded.Readable()
	if s.Armed > 0 {
		text += " of " + s.Armed.Readable() + " armed"
	}
	return text
}

// rate returns a rate with its 95 % interval by Wilson: "81 % (71 to 88)".
func rate(r stat.Rate) string {
	return fmt.Sprintf("%.0f %% (%s)", 100*r.Value(), percents(r.Wilson(credible)))
}

func percents(i stat.Interval) string { return fmt.Sprintf("%.0f to %.0f", 100*i.Low, 100*i.High) }

// Sections describes the season in words.
func (s *Season) Sections() []Section {
	all := []Section{s.nextWords(), s.whyWords(), s.cameraWords(), s.handWords(), s.changeWords(), s.periodWords(), s.leftWords()}
	filled := all[:0]
	for _, part := range all {
		if len(part.Lines)+len(part.Rows) > 0 {
			filled = append(filled, part)
		}
	}
	return filled
}

func (s *Season) nextWords() Section {
	words := Section{Heading: "what to do next"}
	for i, a := range s.Next {
		saves := "saves about %.0f of a hundred flicks, by the model"
		if a.AtMost {
			saves = "saves at most %.0f of a hundred flicks"
		}
		line := fmt.Sprintf("%d. %s; "+saves, i+1, a.Text, a.PerHundred())
		if within, ok := a.Within(); ok {
			line += fmt.Sprintf(" (%.0f to %.0f)", within.Low, within.High)
		}
		words.Lines = append(words.Lines, line)
	}
	return words
}

func (s *Season) whyWords() Section {
	words := Section{Heading: "why flicks did not toggle", Columns: []string{"outcome", "flicks", "of all", "sum"}}
	sum := stat.Rate{Trials: s.Flicks.Trials}
	for _, c := range s.Why {
		sum.Hits += c.Of.Hits
		words.Rows = append(words.Rows, []string{string(c.Outcome), fmt.Sprint(c.Of.Hits), rate(c.Of), fmt.Sprintf("%.0f %%", 100*sum.Value())})
	}
	return words
}

func (s *Season) cameraWords() Section {
	words := Section{Heading: "the camera's press window"}
	before := s.Rig.Camera
	if !s.Camera.Learned() {
		why := "no flight adds to this: keep the card's clips, or what the light showed, beside each log"
		if before.MinPress.Exact() && before.LongPress.Exact() {
			why = "the rig leaves nothing to learn; give min_press and long_press as ranges to learn them from flights"
		}
		words.Lines = []string{fmt.Sprintf("min_press %s, long_press %s, as the rig says", Range(before.MinPress), Range(before.LongPress)), why}
		return words
	}
	words.Lines = []string{
		fmt.Sprintf("min_press  %s with 95 %% (the rig: %s)", Range(s.Camera.MinPress), Range(before.MinPress)),
		fmt.Sprintf("long_press %s with 95 %% (the rig: %s)", Range(s.Camera.LongPress), Range(before.LongPress)),
	}
	words.Columns = []string{"day", "flights", "seen", "min_press", "long_press"}
	for _, step := range s.Camera.Steps {
		o := s.Outings[step.Outing]
		words.Rows = append(words.Rows, []string{
			o.day(), tell.Counted(len(o.Flights), "flight", "flights"), o.seen(), Range(step.MinPress), Range(step.LongPress),
		})
	}
	return words
}

// seen describes the observations of an outing.
func (o *Outing) seen() string {
	switch {
	case o.Trials > 0:
		return tell.Counted(o.Trials, "trial", "trials") + " at the bench"
	case o.Clips == nil && o.Glances == 0:
		return "-"
	case o.Clips == nil:
		return tell.Counted(o.Glances, "glance", "glances")
	case o.Glances == 0:
		return tell.Counted(*o.Clips, "clip", "clips")
	default:
		return tell.Counted(*o.Clips, "clip", "clips") + ", " + tell.Counted(o.Glances, "glance", "glances")
	}
}

// Range returns a range of a threshold in words: "88 to 131 ms".
func Range(r sim.Interval) string {
	if r.Exact() {
		return r.Rounded()
	}
	return r.Outward(sim.Millisecond).Rounded()
}

func (s *Season) handWords() Section {
	words := Section{Heading: "your hand"}
	if h := s.Hand; h != nil {
		words.Lines = append(words.Lines, fmt.Sprintf("holds about %s, scatter %.0f %% of the hold (%s)",
			h.Hold.Rounded(), 100*h.Spread.Relative, percents(h.Within)))
		if h.SlipRate.Hits > 0 {
			words.Lines = append(words.Lines, fmt.Sprintf("%d of %d flicks were slips, far from all others: %s", h.SlipRate.Hits, h.SlipRate.Trials, rate(h.SlipRate)))
		}
	}
	if s.FirstOfDay.Trials > 1 && s.Later.Trials > 0 {
		words.Lines = append(words.Lines, fmt.Sprintf("the first flick of a day: %d of %d toggled; later ones: %s", s.FirstOfDay.Hits, s.FirstOfDay.Trials, rate(s.Later)))
	}
	if s.Practice != nil {
		words.Lines = append(words.Lines, s.practiceWords())
	}
	return words
}

// practiceWords compares practice with flight.
func (s *Season) practiceWords() string {
	var practised stat.Rate
	for _, p := range s.Practice {
		practised = practised.Plus(p.Toggled)
	}
	text := fmt.Sprintf("in practice %s toggled, in flight %s: ", rate(practised), rate(s.Flicks))
	switch {
	case practised.DiffersP(s.Flicks) > falseAlarm:
		return text + "no difference that this many flicks can show"
	case practised.Value() > s.Flicks.Value():
		return text + "practice goes better than flight"
	default:
		return text + "flight goes better than practice"
	}
}

func (s *Season) changeWords() Section {
	words := Section{Heading: "what changed"}
	c := s.Change
	if c == nil {
		return words
	}
	if !c.Any() {
		words.Lines = []string{"nothing that so few flicks can show: " + c.Day + " against all days before"}
		return words
	}
	if c.Rate {
		words.Lines = append(words.Lines, fmt.Sprintf("on %s %s toggled, before %s", c.Day, rate(c.Now), rate(c.Before)))
	}
	if c.Longer {
		words.Lines = append(words.Lines, fmt.Sprintf("on %s holds of %s, before %s", c.Day, millis(c.Hold.Mean), millis(c.HoldBefore.Mean)))
	}
	if c.Scatters {
		words.Lines = append(words.Lines, fmt.Sprintf("on %s holds scatter by %s, before by %s", c.Day, millis(c.Hold.SD), millis(c.HoldBefore.SD)))
	}
	return words
}

func millis(micros float64) string { return sim.Micros(math.Round(micros)).Rounded() }

// mostRows is the most days, weeks or months that a table has: the finest
// grouping that fits is used.
const mostRows = 20

func (s *Season) periodWords() Section {
	name := s.By
	for _, finer := range []string{"day", "week", "month"} {
		if s.By == "" {
			if name = finer; len(s.periodsBy(finer)) <= mostRows {
				break
			}
		}
	}
	all := s.periodsBy(name)
	words := Section{Heading: name + " by " + name, Columns: []string{name, "flights", "toggled", "chance (95 %)"}}
	for _, p := range all {
		words.Rows = append(words.Rows, []string{
			p.Name, fmt.Sprint(p.Flights), fmt.Sprintf("%d of %d", p.Toggled.Hits, p.Toggled.Trials),
			fmt.Sprintf("%.0f %% (%s)", 100*p.Pooled, percents(p.Within)),
		})
	}
	if len(all) > 1 {
		words.Lines = []string{"the chance of each " + name + " is drawn towards the season's if it has few flicks"}
	}
	return words
}

// Bys lists the groupings of a season.
var Bys = []string{"flight", "day", "week", "month"}

// periodsBy returns the periods of a grouping.
func (s *Season) periodsBy(name string) []Period {
	switch name {
	case "flight":
		return byFlight(s.Flights())
	case "week":
		return s.Weeks
	case "month":
		return s.Months
	default:
		return s.Days
	}
}

func (s *Season) leftWords() Section {
	words := Section{Heading: "left out"}
	for _, l := range s.LeftOut {
		words.Lines = append(words.Lines, excerpt.Printable(l.File)+": "+excerpt.Printable(l.Why))
	}
	for _, f := range s.Flights() {
		if f.Clock == FileClock {
			words.Lines = append(words.Lines, "logs without a date are ordered by the time of their files")
			break
		}
	}
	return words
}

// Moment returns when a flight began, as text.
func (f *Flight) Moment() string { return f.Began.Format(time.DateTime) }

// Name names the flight by its log and the log's folder, printable.
func (f *Flight) Name() string {
	name := excerpt.Printable(path.Join(path.Base(path.Dir(f.File)), path.Base(f.File)))
	if f.Segments > 1 {
		name += fmt.Sprintf(", segment %d of %d", f.Segment, f.Segments)
	}
	return name
}
