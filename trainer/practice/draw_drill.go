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

// blocks lays out the picture so that a glance is enough. The most important parts
// have room even on the smallest screen.
func (d *drillPage) blocks(p *Screen, v trainer.View, width, height int) []term.Block {
	roomy := height >= 18
	rows := 1
	if height > term.MinHeight {
		rows = 2
	}
	tally := term.Block{Rows: 1, Draw: func(c *term.Canvas) { drawTally(c, v, statusText(v, width)+p.input.position()) }}
	if height >= 26 {
		tally.Rows = 2
	}
	blocks := []term.Block{tally,
		{Draw: func(c *term.Canvas) { d.drawCue(c, p, v) }},
		{Rows: rows, Draw: func(c *term.Canvas) { d.drawHint(c, p, v) }}}
	if v.Timeline != nil {
		blocks = append(blocks, term.Block{Rows: 2, Draw: func(c *term.Canvas) { drawTimeline(c, v.Timeline) }})
	}
	if v.Hold.Shown && (v.Timeline == nil || roomy) {
		if roomy && v.Timeline != nil {
			blocks = append(blocks, term.Gap)
		}
		blocks = append(blocks, term.Block{Rows: 2, Draw: func(c *term.Canvas) { d.drawHold(c, p, v) }})
	}
	strip := term.Block{Rows: rows, Draw: func(c *term.Canvas) { d.drawStrip(c, v) }}
	if roomy {
		strip.Rows = 3
	}
	return append(blocks, strip)
}

// title names the drill, or its current task if it has several, and the time left.
func (d *drillPage) title(v trainer.View, width int) string {
	title, left := v.Kind.Title(), v.Left
	if kind := d.drill.Setup().Kind; kind != v.Kind && width >= narrow {
		title = kind.Title() + ": " + title
	}
	if d.guided {
		title, left = "The first minute", max(0, left-trainer.Length+guideLasts)
	}
	seconds := (left + sim.Second - 1) / sim.Second
	return fmt.Sprintf("%s  %d:%02d left", title, seconds/60, seconds%60)
}

func (d *drillPage) keys(p *Screen, v trainer.View, width int) string {
	switch {
	case v.Phase == trainer.PhasePaused:
		return "p resume, q end"
	case v.Phase == trainer.PhaseAsk:
		return "y yes, n no"
	case p.input.device:
		return "p pause, q end"
	case p.input.everyMove:
		return "tap space = flick, p pause, q end"
	case p.input.releases:
		return "hold space to press, p pause, q end"
	case width < 52:
		return "tap: press, tap: release; p pause, q end"
	default:
		return "tap space = press, again = release, p pause, q end"
	}
}

// position says whether the switch is pressed.
func (in *input) position() string {
	if in.hand.Pressed() {
		return "switch: pressed"
	}
	return "switch: rest"
}

// drawTally lights the whole row while the camera records.
func drawTally(c *term.Canvas, v trainer.View, position string) {
	role, text := term.Plain, c.Glyphs.LightOff+" "+string(v.Tally)
	switch {
	case v.TallyHidden:
		role, text = term.Dim, "? hidden: keep count"
	case v.Tally == "":
		role, text = term.Dim, c.Glyphs.LightOff
	case v.Tally == sim.StateRecording:
		role, text = term.Recording, c.Glyphs.LightOn+" RECORDING"
		if c.Width < narrow {
			text = c.Glyphs.LightOn + " REC"
		}
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

// drawCue draws what to do now, or how it went, as large as possible.
func (d *drillPage) drawCue(c *term.Canvas, p *Screen, v trainer.View) {
	if v.Phase == trainer.PhaseVerdict {
		drawOutcome(c, v.Last)
		return
	}
	role := term.Dim
	if v.Phase == trainer.PhaseAct || v.Phase == trainer.PhaseAsk {
		role = term.Strong
	}
	term.BigText(c, d.word(p, v), role)
}

func (d *drillPage) word(p *Screen, v trainer.View) string {
	switch {
	case v.Phase == trainer.PhaseAsk:
		return v.Question
	case d.guided && pastAim(v):
		return p.input.releaseWords()
	default:
		return v.Cue
	}
}

// drawOutcome draws the outcome of the last trial as the big word, with its number
// below it.
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

// statusText gives the cue in plain text, since a screen reader cannot read big
// letters, with the last result if there is room.
func statusText(v trainer.View, width int) string {
	text := cueText(v, width) + "  "
	if width < narrow || v.Trials == 0 {
		return text
	}
	last := string(v.Last.Outcome)
	if number := v.Last.Number(); number != "" {
		last += " " + number
	}
	return "last: " + last + "  " + text
}

// narrow is the width below which texts are shortened.
const narrow = 60

func cueText(v trainer.View, width int) string {
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

// drawHint draws the line under the cue: the trial's hint, why a trial without a
// number was not right, why the drill is paused, or at first what to do.
func (d *drillPage) drawHint(c *term.Canvas, p *Screen, v trainer.View) {
	text, role := v.Hint, term.Plain
	switch {
	case v.Phase == trainer.PhasePaused:
		text = "a press resumes the drill and counts"
		if d.notice != "" {
			text, role = d.notice, term.Problem
		}
	case d.held:
		text, role = p.input.tapHint(), term.Problem
	case d.guided && v.Trials == 0:
		text = p.input.guide()
	case v.Phase == trainer.PhaseVerdict && v.Last.Number() == "":
		text = v.Last.Words
	case text == "" && v.Trials == 0:
		text = v.Kind.Rule()
	}
	c.Wrapped(text, role)
}
