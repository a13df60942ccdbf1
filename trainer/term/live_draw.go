package term

import (
	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/trainer"
)

// Draw draws the whole picture.
func (l *Live) Draw(c *Canvas) {
	switch {
	case tooSmall(c, "The tally"):
	case l.help.isOpen:
		l.help.draw(c, helpPages(liveHelp, c.Width, c.Height))
	default:
		drawFrame(c, l.name, l.footer(c.Width))
		drawBlocks(c.Area(0, 1, c.Width, c.Height-2), l.blocks(c.Height))
	}
}

func (l *Live) footer(width int) textLine {
	switch {
	case l.message != "":
		return textLine{l.message, Strong}
	case width < 60:
		return textLine{"light: r rec, s standby, o off   qq quit", Dim}
	default:
		return textLine{"the light says: r recording, s standby, o off   qq quit", Dim}
	}
}

// blocks lays the picture out: the state first, and as large as there is room.
func (l *Live) blocks(height int) []block {
	v := &l.view
	state := block{0, func(c *Canvas) { drawStateNow(c, v) }}
	chance := block{1, func(c *Canvas) { c.fitted(Plain, chanceTexts(v)...) }}
	last := block{1, func(c *Canvas) { c.fitted(Plain, lastPressTexts(v)...) }}
	press := block{1, func(c *Canvas) { drawPressNow(c, v) }}
	if v.LongAt != sim.Never {
		press.rows = 2
	}
	input := block{1, l.drawInput}
	if height < 18 {
		if len(v.Doubts) > 0 {
			last.draw = l.drawDoubt
		}
		return []block{input, state, chance, press, last}
	}
	press.rows = 2
	return []block{
		input, state, chance, gap, press, last,
		{1, func(c *Canvas) { c.Text(0, 0, takesText(v), Plain) }},
		{2, l.drawDoubt},
		{1, func(c *Canvas) { c.Text(0, 0, "modelled; only the camera's own light is proof", Dim) }},
	}
}

// drawInput tells how the stream does. A signal that is not there takes the
// whole row, with the reason where it is known.
func (l *Live) drawInput(c *Canvas) {
	text := inputText(&l.view)
	switch {
	case l.view.Input == live.Lost:
		c.Area(1, 0, c.Width-1, 1).fitted(Problem, withMore(text, l.notice), text)
		c.reverse()
	case l.notice != "":
		c.Text(1, 0, l.notice, Problem)
	default:
		c.Area(1, 0, c.Width-1, 1).fitted(Dim, withMore(text, l.about), text)
	}
}

// withMore adds to a text what there is more to say.
func withMore(text, more string) string {
	if more == "" {
		return text
	}
	return text + "; " + more
}

// drawStateNow draws what the camera does, and for how long if it records; in
// its place what the hand must do at once.
func drawStateNow(c *Canvas, v *live.View) {
	text, role := stateWord(v)
	if v.Take.N == 0 || role == Problem {
		bigText(c, text, role)
		return
	}
	above := (c.Height + 1) / 2
	bigText(c.Area(0, 0, c.Width, above), text, role)
	bigText(c.Area(0, above, c.Width, c.Height-above), wholeSeconds(v.Take.Length()), role)
}

// drawPressNow draws the press in hand as it runs towards its deadline, or when
// the next one will count.
func drawPressNow(c *Canvas, v *live.View) {
	role := Plain
	switch v.Phase {
	case live.LetGo, live.MayLong, live.IsLong, live.Ignored:
		role = Problem
	case live.Counts:
		role = Right
	}
	if v.LongAt == sim.Never {
		c.fitted(role, pressTexts(v)...)
		return
	}
	drawHold(c, trainer.HoldBar{
		Shown: true, Hold: v.At - v.InHand.Down,
		Window: sim.Window{MinPress: v.MinPress.High, LongPress: v.LongAt - v.InHand.Down},
	})
}

// drawDoubt tells what does not fit, where something does not.
func (l *Live) drawDoubt(c *Canvas) {
	if n := len(l.view.Doubts); n > 0 {
		c.Wrapped(l.view.Doubts[n-1], Problem)
	}
}

// reverse shows the whole canvas in reverse.
func (c *Canvas) reverse() {
	for y := range c.Height {
		for x := range c.Width {
			c.At(x, y).Reverse = true
		}
	}
}
