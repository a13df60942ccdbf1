package term

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/trainer"
)

func (d *drillPage) draw(p *Practise, c *Canvas) {
	v := d.drill.View(p.now)
	drawFrame(c, d.title(v, c.Width), p.footer(d.keys(p, v)))
	drawBlocks(c.Area(0, 1, c.Width, c.Height-2), d.blocks(p, v, c.Width, c.Height))
}

// blocks lays the picture out: what matters most has room on the smallest
// screen.
func (d *drillPage) blocks(p *Practise, v trainer.View, width, height int) []block {
	roomy, tall := height >= 18, height >= 26
	tally := block{1, func(c *Canvas) { drawTally(c, v, cueText(v, width)+"  "+p.input.position()) }}
	if tall {
		tally.rows = 2
	}
	hintRows := 1
	if height > minHeight {
		hintRows = 2
	}
	verdictRows := 1
	if width < 70 {
		verdictRows = 2
	}
	var blocks []block
	if roomy {
		blocks = append(blocks, block{1, func(c *Canvas) { c.Text(0, 0, v.Rule, Dim) }})
	}
	blocks = append(blocks, tally,
		block{0, func(c *Canvas) { drawCue(c, v) }},
		block{hintRows, func(c *Canvas) { d.drawHint(c, v, roomy) }},
		block{2, func(c *Canvas) { drawBars(c, v) }})
	if roomy {
		blocks = append(blocks, gap)
	}
	blocks = append(blocks, block{verdictRows, func(c *Canvas) { d.drawVerdict(c, v) }})
	if roomy {
		blocks = append(blocks, block{1, func(c *Canvas) { drawTrend(c, v.Trend) }})
	}
	blocks = append(blocks, block{1, func(c *Canvas) { c.fitted(Plain, countTexts(v)...) }})
	if roomy {
		blocks = append(blocks,
			block{1, func(c *Canvas) { c.Text(0, 0, v.Reliability.Words(), Dim) }},
			block{1, func(c *Canvas) { c.fitted(Dim, p.resolutionTexts()...) }})
	}
	return blocks
}

// title names the drill, the task where the drill is made of several, and the
// time that is left.
func (d *drillPage) title(v trainer.View, width int) string {
	title := v.Kind.Title()
	if kind := d.drill.Setup().Kind; kind != v.Kind && width >= 60 {
		title = kind.Title() + ": " + title
	}
	seconds := (v.Left + sim.Second - 1) / sim.Second
	return fmt.Sprintf("%s  %d:%02d left", title, seconds/60, seconds%60)
}

// keys tells the keys that matter now.
func (d *drillPage) keys(p *Practise, v trainer.View) string {
	switch {
	case v.Phase == trainer.PhasePaused:
		return "p goes on, q ends the drill"
	case v.Phase == trainer.PhaseAsk:
		return "y yes, n no"
	case p.input.device:
		return "p pause, q end"
	default:
		return "space flips the switch, p pause, q end"
	}
}

// position tells where the switch is.
func (in *input) position() string {
	if in.hand.Pressed() {
		return "switch: pressed"
	}
	return "switch: rest"
}

// drawTally draws the light over the whole row while the camera records.
func drawTally(c *Canvas, v trainer.View, position string) {
	role, text := Plain, c.Glyphs.LightOff+" "+string(v.Tally)
	switch {
	case v.TallyHidden:
		role, text = Dim, "? hidden: keep count"
	case v.Tally == "":
		role, text = Dim, c.Glyphs.LightOff
	case v.Tally == sim.StateRecording:
		role, text = Recording, c.Glyphs.LightOn+" RECORDING"
		if v.TakeFor > 0 {
			clock := v.TakeFor.Clock()
			text += " " + clock[:len(clock)-2]
		}
	}
	x := c.Text(1, 0, text, role)
	c.Area(x+1, 0, c.Width-x-1, 1).TextRight(0, position+" ", role)
	if role != Recording {
		return
	}
	for y := range c.Height {
		for x := range c.Width {
			cell := c.At(x, y)
			cell.Role, cell.Reverse = Recording, true
		}
	}
}

// drawCue draws what to do now, or how it went, as large as there is room.
func drawCue(c *Canvas, v trainer.View) {
	switch {
	case v.Phase == trainer.PhaseVerdict:
		drawOutcome(c, v.Last)
	case v.Phase == trainer.PhaseAsk:
		bigText(c, v.Question, Strong)
	case v.Phase == trainer.PhaseAct:
		bigText(c, v.Cue, Strong)
	default:
		bigText(c, v.Cue, Dim)
	}
}

// drawOutcome draws what the last trial came to as the big word, and under it the
// one number that helps.
func drawOutcome(c *Canvas, last trainer.Result) {
	role := Problem
	if last.Right {
		role = Right
	}
	number := last.Number()
	if c.Glyphs == asciiGlyphs {
		number = strings.NewReplacer("−", "-", "±", "").Replace(number)
	}
	if number == "" {
		bigText(c, string(last.Outcome), role)
		return
	}
	upper, between := (c.Height+1)/2, 0
	if c.Height >= 2*letterRows-1 {
		between = 1
	}
	lower := upper + between
	bigText(c.Area(0, 0, c.Width, upper), string(last.Outcome), role)
	bigText(c.Area(0, lower, c.Width, c.Height-lower), number, role)
}

// cueText tells the cue in plain text: big letters are none to a screen reader.
func cueText(v trainer.View, width int) string {
	const narrow = 60
	switch {
	case v.Phase == trainer.PhaseWait || v.Phase == trainer.PhaseVerdict:
		return "cue: wait"
	case v.Phase == trainer.PhaseAsk:
		return "cue: answer"
	case v.Phase == trainer.PhaseRest:
		return "cue: rest"
	case v.Phase == trainer.PhaseAct && width < narrow:
		return "cue: flick"
	default:
		return "cue: " + strings.ToLower(v.Cue)
	}
}

// drawHint draws the line under the cue: the trial's hint, or why the drill is
// paused; at first the rule, where that has no line of its own.
func (d *drillPage) drawHint(c *Canvas, v trainer.View, roomy bool) {
	text, role := v.Hint, Plain
	switch {
	case v.Phase == trainer.PhasePaused:
		text, role = d.notice, Problem
	case d.held:
		text, role = tapHint, Problem
	case text == "" && v.Trials == 0 && !roomy:
		text = v.Rule
	}
	c.Wrapped(text, role)
}

// drawVerdict draws the last verdict, with the task where another has come since.
func (d *drillPage) drawVerdict(c *Canvas, v trainer.View) {
	results := d.drill.Results()
	if len(results) == 0 {
		return
	}
	last := results[len(results)-1]
	role, text := Problem, string(last.Outcome)+": "+last.Words
	if last.Right {
		role = Right
	}
	if last.Kind != v.Kind {
		text = last.Kind.Title() + ", " + text
	}
	c.Wrapped(text, role)
}

// countTexts tell how the drill goes, in several lengths.
func countTexts(v trainer.View) []string {
	level := fmt.Sprintf("level %d", v.Level)
	if v.Rate.Trials == 0 {
		return []string{level}
	}
	rate := countText(v.Rate) + " right"
	texts := []string{level + ", " + rate}
	if v.Trend.Words != "" {
		texts = append([]string{level + ", " + rate + ", " + v.Trend.Words}, texts...)
	}
	return texts
}

// drawBars draws the pattern to follow, or the hold against the press window.
func drawBars(c *Canvas, v trainer.View) {
	switch {
	case v.Pattern != nil:
		drawPattern(c, v.Pattern)
	case v.Hold.Shown:
		drawHold(c, v.Hold)
	}
}
