package term

import (
	"fmt"

	"flicktally/sim/stat"
)

// Draw draws the whole picture.
func (p *Practise) Draw(c *Canvas) {
	switch {
	case tooSmall(c, "Practice"):
	case p.help.isOpen:
		p.help.draw(c, p.helpPages())
	default:
		p.page.draw(p, c)
	}
}

// footer returns the keys that matter now; a trouble that there is takes their
// place.
func (p *Practise) footer(keys string) textLine {
	switch {
	case p.trouble != nil:
		return textLine{"not kept: " + p.trouble.Error(), Problem}
	case p.input.gone != nil:
		return textLine{p.input.gone.Error(), Problem}
	default:
		return textLine{keys, Dim}
	}
}

func (*findPage) draw(p *Practise, c *Canvas) {
	drawFrame(c, p.input.name, p.footer("q quit"))
	body := c.Area(0, 1, c.Width, c.Height-4)
	bigText(body, "Flick your switch", Strong)
	c.Area(0, c.Height-3, c.Width, 2).Wrapped("there and back, and nothing else, so that it is found", Plain)
}

func (m *measurePage) draw(p *Practise, c *Canvas) {
	footer := "enter goes on without, q quit"
	title, text := "Hold the space bar", "until the bar is full, to measure what this keyboard and terminal can tell apart"
	if p.input.device {
		title, text = "Stir a stick", "until the bar is full, to measure what the transmitter can tell apart"
	}
	if m.done {
		footer = "enter goes on, q quit"
		title, text = "Let go", p.resolutionTexts()[0]
	}
	drawFrame(c, "The input: "+p.input.name, p.footer(footer))
	bigText(c.Area(0, 1, c.Width, c.Height-6), title, Strong)
	share := stat.Rate{Hits: min(len(m.gaps), gapsWanted), Trials: gapsWanted}.Value()
	drawMeter(c.Area(0, c.Height-5, c.Width, 1), share)
	c.Area(0, c.Height-3, c.Width, 2).Wrapped(text, Plain)
}

// resolutionTexts tell what the input can tell apart, and how that is known, in
// several lengths.
func (p *Practise) resolutionTexts() []string {
	tells := "the input tells " + p.input.resolution.Rounded() + " apart"
	return []string{
		fmt.Sprintf("%s (%s); nothing finer is judged", tells, p.input.measured),
		tells + "; nothing finer is judged",
		tells,
	}
}

// drawMeter draws a bar that is full at 1.
func drawMeter(c *Canvas, share float64) {
	for x := range c.Width {
		shade, role := Dotted, Dim
		if float64(x) < share*float64(c.Width) {
			shade, role = Solid, Right
		}
		c.Set(x, 0, c.Glyphs.Shades[shade], role)
	}
}
