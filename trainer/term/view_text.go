package term

import (
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// cursorText tells where the cursor is and how wide the stretch of the selected
// lane under it is, in several lengths.
func (v *view) cursorText(snap bool) []string {
	l := v.lane()
	at := preciseClock(v.cursor)
	width := v.widthText(sim.Micros.Exact)
	state := string(v.log.Replay.StateAt(v.cursor))
	loose := ""
	if !snap {
		loose = "  snap off"
	}
	return []string{
		fmt.Sprintf("cursor %s  %s: %s  camera: %s%s", at, l.name, width, state, loose),
		fmt.Sprintf("cursor %s  %s: %s%s", at, l.name, width, loose),
		fmt.Sprintf("%s %s%s", at, width, loose),
		fmt.Sprintf("%s %s%s", v.cursor.Clock(), v.widthText(sim.Micros.Rounded), loose),
	}
}

// preciseClock writes a time with all of its digits.
func preciseClock(at sim.Micros) string {
	if at%sim.Millisecond == 0 {
		return at.FineClock()
	}
	return clockTo(at, sim.Microsecond)
}

// widthText tells what the selected lane shows at the cursor, and for how long.
func (v *view) widthText(write func(sim.Micros) string) string {
	l := v.lane()
	if l.kind == pointLane {
		return fmt.Sprintf("%d of %d", l.stepAt(v.cursor)+1, len(l.steps))
	}
	stretch, value := v.lane().stretchAt(v.cursor, v.window.end)
	return fmt.Sprintf("%s, %s wide", l.face(value).said(), write(stretch.Length()))
}

// markTexts tells where the marks are, how far apart, and which presses go down
// between them, in several lengths.
func (v *view) markTexts() []string {
	between, set := v.between()
	if !set {
		return []string{"marks 1 and 2 measure: time and presses between them", "marks 1 and 2 measure"}
	}
	presses := v.pressesIn(between)
	apart := fmt.Sprintf("%s apart, %s", between.Length(), tell.Counted(len(presses), "press", "presses"))
	verdicts := ""
	if len(presses) > 0 {
		verdicts = " (" + tallyOf(presses) + ")"
	}
	one, two := v.markName(0), v.markName(1)
	return []string{
		fmt.Sprintf("mark 1 %s, mark 2 %s: %s%s", one, two, apart, verdicts),
		fmt.Sprintf("marks %s, %s: %s", one, two, apart),
		apart,
	}
}

// markName tells where a mark is. The cursor stands in for one that is not set.
func (v *view) markName(i int) string {
	if v.marks[i] == sim.Never {
		return "at the cursor"
	}
	return "at " + preciseClock(v.marks[i])
}

// tallyOf counts presses by verdict: "3 toggle, 1 short".
func tallyOf(presses []sim.Press) string {
	var order []sim.Verdict
	counts := map[sim.Verdict]int{}
	for _, p := range presses {
		if !slices.Contains(order, p.Verdict) {
			order = append(order, p.Verdict)
		}
		counts[p.Verdict]++
	}
	var parts []string
	for _, verdict := range order {
		parts = append(parts, fmt.Sprintf("%d %s", counts[verdict], verdict))
	}
	return strings.Join(parts, ", ")
}

// note tells about the place of the cursor: the finding there with its remedy,
// or the press; where there is neither, what all of it rests on.
func (v *view) note() (string, Role) {
	if f, found := v.findingAt(); found {
		text := f.Text
		if f.Remedy != "" {
			text += "; " + f.Remedy
		}
		return text, Problem
	}
	if p, down := v.pressAt(); down {
		return v.pressText(p), Plain
	}
	return "modelled: " + tell.Toggles(v.log.Replay) + "; measure yours, only the camera's own light is proof", Dim
}

// pressText tells what became of a press.
func (v *view) pressText(p sim.Press) string {
	held := tell.Held(p)
	if !p.Open() {
		held = "held " + held
	}
	text := fmt.Sprintf("press %d down at %s, %s: %s", p.N, preciseClock(p.Down), held, p.Verdict)
	if margin := tell.Margin(v.log.Replay.Window, p); margin != "-" {
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
