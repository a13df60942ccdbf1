package practice

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

func (d *drillPage) draw(p *Screen, c *term.Canvas) {
	v := d.drill.View(p.now)
	term.DrawFrame(c, d.title(v, c.Width), p.footer(d.keys(p, v, c.Width)))
	term.DrawBlocks(c.Area(0, 1, c.Width, c.Height-2), d.blocks(p, v, c.Width, c.Height))
}

// blocks lays the picture out: what matters most has room on the smallest
// screen.
func (d *drillPage) blocks(p *Screen, v trainer.View, width, height int) []term.Block {
	roomy, tall := height >= 18, height >= 26
	tally := term.Block{Rows: 1, Draw: func(c *term.Canvas) { drawTally(c, v, cueText(v, width)+"  "+p.input.position()) }}
	if tall {
		tally.Rows = 2
	}
	hintRows := 1
	if height > term.MinHeight {
		hintRows = 2
	}
	verdictRows := 1
	if width < 70 {
		verdictRows = 2
	}
	var blocks []term.Block
	if roomy {
		blocks = append(blocks, term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Text(0, 0, v.Rule, term.Dim) }})
	}
	blocks = append(blocks, tally,
		term.Block{Rows: 0, Draw: func(c *term.Canvas) { drawCue(c, v) }},
		term.Block{Rows: hintRows, Draw: func(c *term.Canvas) { d.drawHint(c, v, roomy) }},
		term.Block{Rows: 2, Draw: func(c *term.Canvas) { drawBars(c, v) }})
	if roomy {
		blocks = append(blocks, term.Gap)
	}
	blocks = append(blocks, term.Block{Rows: verdictRows, Draw: func(c *term.Canvas) { d.drawVerdict(c, v) }})
	if roomy {
		blocks = append(blocks, term.Block{Rows: 1, Draw: func(c *term.Canvas) { drawTrend(c, v.Trend) }})
	}
	blocks = append(blocks, term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Fitted(term.Plain, countTexts(v)...) }})
	if roomy {
		blocks = append(blocks,
			term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Text(0, 0, v.Reliability.Words(), term.Dim) }},
			term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Fitted(term.Dim, p.resolutionTexts()...) }})
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
func (d *drillPage) keys(p *Screen, v trainer.View, width int) string {
	switch {
	case v.Phase == trainer.PhasePaused:
		return "p goes on, q ends the drill"
	case v.Phase == trainer.PhaseAsk:
		return "y yes, n no"
	case p.input.device:
		return "p pause, q end"
	case p.input.releases:
		return "hold space to press, p pause, q end"
	case width < 52:
		return "tap: press, tap: release; p pause, q end"
	default:
		return "tap space = press, again = release, p pause, q end"
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
func drawTally(c *term.Canvas, v trainer.View, position string) {
	role, text := term.Plain, c.Glyphs.LightOff+" "+string(v.Tally)
	switch {
	case v.TallyHidden:
		role, text = term.Dim, "? hidden: keep count"
	case v.Tally == "":
		role, text = term.Dim, c.Glyphs.LightOff
	case v.Tally == sim.StateRecording:
		role, text = term.Recording, c.Glyphs.LightOn+" RECORDING"
		if v.TakeFor > 0 {
			clock := v.TakeFor.Clock()
			text += " " + clock[:len(clock)-2]
		}
	}
	x := c.Text(1, 0, text, role)
	c.Area(x+1, 0, c.Width-x-1, 1).TextRight(0, position+" ", role)
	if role != term.Recording {
		return
	}
	for y := range c.Height {
		for x := range c.Width {
			cell := c.At(x, y)
			cell.Role, cell.Reverse = term.Recording, true
		}
	}
}

// drawCue draws what to do now, or how it went, as large as there is room.
func drawCue(c *term.Canvas, v trainer.View) {
	switch {
	case v.Phase == trainer.PhaseVerdict:
		drawOutcome(c, v.Last)
	case v.Phase == trainer.PhaseAsk:
		term.BigText(c, v.Question, term.Strong)
	case v.Phase == trainer.PhaseAct:
		term.BigText(c, v.Cue, term.Strong)
	default:
		term.BigText(c, v.Cue, term.Dim)
	}
}

// drawOutcome draws what the last trial came to as the big word, and under it the
// one number that helps.
func drawOutcome(c *term.Canvas, last trainer.Result) {
	role := term.Problem
	if last.Right {
		role = term.Right
	}
	number := last.Number()
	if c.Glyphs.ASCII {
		number = strings.NewReplacer("−", "-", "±", "").Replace(number)
	}
	if number == "" {
		term.BigText(c, string(last.Outcome), role)
		return
	}
	upper, between := (c.Height+1)/2, 0
	if c.Height >= 2*term.LetterRows-1 {
		between = 1
	}
	lower := upper + between
	term.BigText(c.Area(0, 0, c.Width, upper), string(last.Outcome), role)
	term.BigText(c.Area(0, lower, c.Width, c.Height-lower), number, role)
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
func (d *drillPage) drawHint(c *term.Canvas, v trainer.View, roomy bool) {
	text, role := v.Hint, term.Plain
	switch {
	case v.Phase == trainer.PhasePaused:
		text, role = d.notice, term.Problem
	case d.held:
		text, role = tapHint, term.Problem
	case text == "" && v.Trials == 0 && !roomy:
		text = v.Rule
	}
	c.Wrapped(text, role)
}

// drawVerdict draws the last verdict, with the task where another has come since.
func (d *drillPage) drawVerdict(c *term.Canvas, v trainer.View) {
	results := d.drill.Results()
	if len(results) == 0 {
		return
	}
	last := results[len(results)-1]
	role, text := term.Problem, string(last.Outcome)+": "+last.Words
	if last.Right {
		role = term.Right
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
func drawBars(c *term.Canvas, v trainer.View) {
	switch {
	case v.Pattern != nil:
		drawPattern(c, v.Pattern)
	case v.Hold.Shown:
		term.DrawHold(c, v.Hold)
	}
}
