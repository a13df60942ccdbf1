package practice

import (
	"fmt"

	"flicktally/sim/lanes"
	"flicktally/trainer/term"
)

// Draw draws the whole picture.
func (p *Screen) Draw(c *term.Canvas) {
	switch {
	case term.TooSmall(c, "Practice"):
	case p.help.IsOpen:
		p.help.Draw(c, p.helpPages())
	default:
		p.page.draw(p, c)
	}
}

// footer returns the keys that matter now, or a problem instead.
func (p *Screen) footer(keys string) term.TextLine {
	switch {
	case p.trouble != nil:
		return term.TextLine{Text: "not saved: " + p.trouble.Error(), Role: term.Problem}
	case p.input.gone != nil:
		return term.TextLine{Text: p.input.gone.Error(), Role: term.Problem}
	default:
		return term.TextLine{Text: keys, Role: term.Dim}
	}
}

func (*findPage) draw(p *Screen, c *term.Canvas) {
	term.DrawFrame(c, p.input.name, p.footer("q quit"))
	body := c.Area(0, 1, c.Width, c.Height-4)
	term.BigText(body, "Flick your switch", term.Strong)
	c.Area(0, c.Height-3, c.Width, 2).Wrapped("there and back; touch nothing else until it is recognised", term.Plain)
}

func (m *measurePage) draw(p *Screen, c *term.Canvas) {
	footer := "enter skip, q quit"
	title, text := "Hold the space bar", "until the bar is full: this measures the timing of keyboard and terminal"
	if p.input.device {
		title, text = "Stir a stick", "until the bar is full: this measures the timing of the transmitter"
	}
	if m.done {
		footer = "enter continue, q quit"
		title, text = "Let go", p.resolutionText()
	}
	term.DrawFrame(c, "The input: "+p.input.name, p.footer(footer))
	term.BigText(c.Area(0, 1, c.Width, c.Height-6), title, term.Strong)
	drawMeter(c.Area(0, c.Height-5, c.Width, 1), float64(len(m.gaps))/gapsWanted)
	c.Area(0, c.Height-3, c.Width, 2).Wrapped(text, term.Plain)
}

func (p *Screen) resolutionText() string {
	if p.input.resolution == 0 {
		return "input resolution not measured yet: m measures it"
	}
	return fmt.Sprintf("input resolution %s (%s); smaller differences are not judged", p.input.resolution.Rounded(), p.input.measured)
}

// drawMeter draws a bar that is full at 1.
func drawMeter(c *term.Canvas, share float64) {
	for x := range c.Width {
		shade, role := lanes.Dotted, term.Dim
		if float64(x) < share*float64(c.Width) {
			shade, role = lanes.Solid, term.Right
		}
		c.Set(x, 0, c.Glyphs.Shades[shade], role)
	}
}
