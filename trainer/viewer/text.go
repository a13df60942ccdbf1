package viewer

import (
	"fmt"
	"sort"
	"strings"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
	"flicktally/trainer/term"
)

// cursorText says where the cursor is and what the selected lane shows there, in
// several lengths.
func (v *view) cursorText(snap bool) []string {
	l := v.lane()
	at := v.clock(v.cursor)
	what := v.laneText()
	state := string(v.log.Replay.StateAt(v.cursor))
	loose := ""
	if !snap {
		loose = "  snap off"
	}
	return []string{
		fmt.Sprintf("cursor %s  %s: %s  camera: %s%s", at, l.Name, what, state, loose),
		fmt.Sprintf("cursor %s  %s: %s%s", at, l.Name, what, loose),
		fmt.Sprintf("%s %s%s", at, what, loose),
	}
}

// clock writes a time with the digits that a column can show: milliseconds, or
// microseconds if a column is narrower than one.
func (v *view) clock(at sim.Micros) string {
	if v.window.span < sim.Millisecond*sim.Micros(v.window.columns) {
		return lanes.ClockTo(at, 6)
	}
	return lanes.ClockTo(at, 3)
}

// laneText says what the selected lane shows at the cursor, and for how long.
func (v *view) laneText() string {
	l := v.lane()
	if l.Kind == lanes.Findings {
		past := sort.Search(len(l.Spans), func(i int) bool { return l.Spans[i].From > v.cursor })
		return fmt.Sprintf("%d of %d", past, len(l.Spans))
	}
	what := "none"
	switch i := l.At(v.cursor); {
	case i >= 0 && l.Kind == lanes.Chance:
		what = tell.ChanceOver(v.log.Replay.Belief[i]) + " recording"
	case i >= 0 && l.Kind == lanes.Flicks:
		label := l.Label(i)
		what = fmt.Sprintf("%s %s", label.Short, label.Look.Name())
	case i >= 0 && l.Name == "takes":
		what = l.Label(i).Short
	case i >= 0:
		what = l.Label(i).Look.Name()
	case l.Kind == lanes.Levels:
		what = "released"
	case l.Kind == lanes.Channel:
		what = "a signal"
	}
	return fmt.Sprintf("%s for %s", what, l.Around(v.cursor, v.window.end).Length().Rounded())
}

// markTexts says where the marks are, how far apart, and which flicks start between
// them, in several lengths.
func (v *view) markTexts() []string {
	between, set := v.between()
	if !set {
		return []string{"1 marks \"from\", 2 marks \"to\", to measure between them", "1, 2: mark and measure"}
	}
	first, past := v.flicksIn(between)
	apart := fmt.Sprintf("%s apart, %s", between.Length().Rounded(), tell.Counted(past-first, "flick", "flicks"))
	outcomes := ""
	if past > first {
		outcomes = " (" + v.tally(first, past) + ")"
	}
	from, to := v.markName(0), v.markName(1)
	return []string{
		fmt.Sprintf("from %s to %s: %s%s", from, to, apart, outcomes),
		fmt.Sprintf("from %s to %s: %s", from, to, apart),
		apart,
	}
}

// markName says where a mark is. The cursor replaces a mark that is not set.
func (v *view) markName(i int) string {
	if v.marks[i] == sim.Never {
		return "the cursor"
	}
	return v.clock(v.marks[i])
}

// tally counts flicks by outcome: "3 toggled, 1 short".
func (v *view) tally(first, past int) string {
	var counts [lanes.LookCount]int
	flicks := v.picture.Lane(lanes.Flicks, "")
	for i := first; i < past; i++ {
		counts[flicks.Label(i).Look]++
	}
	var parts []string
	for _, look := range lanes.Outcomes {
		if n := counts[look]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, look.Name()))
		}
	}
	return strings.Join(parts, ", ")
}

// note describes the place of the cursor: the finding with its remedy, or the
// press, or else what the model assumes.
func (v *view) note() (string, term.Role) {
	if f, found := v.findingAt(); found {
		text := f.Letter + ": " + f.Text
		if f.Remedy != "" {
			text += "; " + f.Remedy
		}
		return text, term.Problem
	}
	if p, down := v.pressAt(); down {
		return v.pressText(p), term.Plain
	}
	return "modelled: " + tell.Toggles(v.log.Replay) + "; measure your own camera, and trust only its light", term.Dim
}

func (v *view) pressText(p sim.Press) string {
	text := fmt.Sprintf("press %d down at %s, %s: %s", p.N, v.clock(p.Down), tell.HowHeld(p), p.Verdict)
	if margin := tell.Margin(v.log.Replay, p); margin != "-" {
		text += ", " + margin
	}
	if hand := tell.ByHand(v.log.Replay, p); hand != "-" {
		text += "; by hand " + hand
	}
	if p.Doubtful {
		text += "; the verdict is doubtful"
	}
	return text
}
