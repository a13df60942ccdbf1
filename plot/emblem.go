package plot

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim/lanes"
)

// emblem draws the press window as a strip of what each hold does.
type emblem struct{ lanes.Strip }

// The parts of an emblem: the bar, and the thresholds below it.
const (
	emblemBar    vg.Length = 12
	emblemHeight           = emblemBar + smallSize*lineSpace
)

func (e emblem) draw(c draw.Canvas, t *theme) {
	s := strip{Canvas: c, theme: t}
	width := c.Max.X - c.Min.X
	for _, z := range e.Zones {
		area := vg.Rectangle{
			Min: vg.Point{X: c.Min.X + vg.Length(z.From)*width, Y: c.Max.Y - emblemBar},
			Max: vg.Point{X: c.Min.X + vg.Length(z.To)*width, Y: c.Max.Y},
		}
		f := t.fill(z.Look)
		s.fillRects([]vg.Rectangle{area}, f)
		s.outline([]vg.Rectangle{area}, line(t.ink, hairline))
		s.label(area, z.Name, f)
	}
	wide := func(words string) float64 { return float64(t.quietText().Width(words + " ")) }
	for i, x := range e.MarkPlaces(float64(width), wide) {
		words := e.Marks[i].Words
		left := c.Min.X + vg.Length(x) - t.quietText().Width(words)/2
		c.FillText(t.quietText(), vg.Point{X: left, Y: c.Max.Y - emblemBar - smallSize*lineSpace/2}, words)
	}
}
