package plot

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim/lanes"
)

// emblem is the press window as a strip that says what each hold does.
type emblem struct{ lanes.Strip }

// The heights of an emblem's bar, and of all with the thresholds below it.
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
		drawBox(c, t, area, t.fill(z.Look))
		s.label(area, z.Name, t.fill(z.Look))
	}
	wide := func(words string) float64 { return float64(t.quietText().Width(words + " ")) }
	for i, x := range e.MarkPlaces(float64(width), wide) {
		words := e.Marks[i].Words
		left := c.Min.X + vg.Length(x) - t.quietText().Width(words)/2
		c.FillText(t.quietText(), vg.Point{X: left, Y: c.Max.Y - emblemBar - smallSize*lineSpace/2}, words)
	}
}
