package liveview

import (
	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// Draw draws the whole picture.
func (l *Screen) Draw(c *term.Canvas) {
	switch {
	case term.TooSmall(c, "The tally"):
	case l.help.IsOpen:
		l.help.Draw(c, term.HelpPages(liveHelp, c.Width, c.Height))
	default:
		term.DrawFrame(c, l.name, l.footer(c.Width))
		term.DrawBlocks(c.Area(0, 1, c.Width, c.Height-2), l.blocks(c.Height))
	}
}

func (l *Screen) footer(width int) term.TextLine {
	if width < 60 {
		return term.TextLine{Text: "light: r rec, s standby, o off   qq quit", Role: term.Dim}
	}
	return term.TextLine{Text: "the light says: r recording, s standby, o off   u undo   qq quit", Role: term.Dim}
}

// blocks lays out the picture: first a flick that failed, then the state, as large as
// possible. A low screen has one row for the last flick, the effect of a key or a
// doubt.
func (l *Screen) blocks(height int) []term.Block {
	v := &l.view
	state := term.Block{Rows: 0, Draw: func(c *term.Canvas) { drawStateNow(c, v) }}
	chance := term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Fitted(term.Plain, chanceTexts(v)...) }}
	last := term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Fitted(term.Plain, lastTexts(v)...) }}
	said := term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Text(0, 0, l.message, term.Strong) }}
	press := term.Block{Rows: 1, Draw: func(c *term.Canvas) { drawPressNow(c, v) }}
	if v.LongAt != sim.Never {
		press.Rows = 2
	}
	top := []term.Block{{Rows: 1, Draw: l.drawInput}}
	if texts := failureTexts(v); texts != nil {
		top = append([]term.Block{{Rows: 1, Draw: func(c *term.Canvas) {
			c.Area(1, 0, c.Width-1, 1).Fitted(term.Problem, texts...)
			c.Reverse()
		}}}, top...)
	}
	if height < 18 {
		switch {
		case l.message != "":
			last = said
		case len(v.Doubts) > 0:
			last.Draw = l.drawDoubt
		}
		return append(top, state, chance, press, last)
	}
	press.Rows = 2
	return append(top,
		state, chance, term.Gap, press, last, said,
		term.Block{Rows: 1, Draw: func(c *term.Canvas) { c.Text(0, 0, takesText(v), term.Plain) }},
		term.Block{Rows: 2, Draw: l.drawDoubt},
		term.Block{Rows: 1, Draw: func(c *term.Canvas) {
			c.Text(0, 0, "modelled; only the camera's own light is proof", term.Dim)
		}})
}

// drawInput shows the state of the stream. A lost signal fills the row, with its
// cause if known.
func (l *Screen) drawInput(c *term.Canvas) {
	text := inputText(&l.view)
	switch {
	case l.view.Input == live.Lost:
		c.Area(1, 0, c.Width-1, 1).Fitted(term.Problem, withMore(text, l.notice), text)
		c.Reverse()
	case l.notice != "":
		c.Text(1, 0, l.notice, term.Problem)
	default:
		c.Area(1, 0, c.Width-1, 1).Fitted(term.Dim, withMore(text, l.about), text)
	}
}

// withMore appends further text, if any.
func withMore(text, more string) string {
	if more == "" {
		return text
	}
	return text + "; " + more
}

// drawStateNow draws the state of the camera and the time in the take, or what the
// hand must do at once.
func drawStateNow(c *term.Canvas, v *live.View) {
	text, role := stateWord(v)
	if v.Take.N == 0 || role == term.Problem {
		term.BigText(c, text, role)
		return
	}
	above := (c.Height + 1) / 2
	term.BigText(c.Area(0, 0, c.Width, above), text, role)
	term.BigText(c.Area(0, above, c.Width, c.Height-above), wholeSeconds(v.Take.Length()), role)
}

// drawPressNow draws the current press and its deadline, or when the next one counts.
func drawPressNow(c *term.Canvas, v *live.View) {
	role := term.Plain
	switch v.Phase {
	case live.LetGo, live.MayLong, live.IsLong, live.Ignored:
		role = term.Problem
	case live.Counts:
		role = term.Right
	}
	if v.LongAt == sim.Never {
		c.Fitted(role, pressTexts(v)...)
		return
	}
	term.DrawHold(c, trainer.HoldBar{
		Shown: true, Hold: v.At - v.InHand.Down,
		Camera: sim.CameraSpec{MinPress: v.MinPress, LongPress: v.LongPress, LongAction: sim.ActionPowerOff},
	}, term.HoldMarks{})
}

// drawDoubt shows the latest doubt, if any.
func (l *Screen) drawDoubt(c *term.Canvas) {
	if n := len(l.view.Doubts); n > 0 {
		c.Wrapped(l.view.Doubts[n-1], term.Problem)
	}
}
