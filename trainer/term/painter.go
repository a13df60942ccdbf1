package term

import (
	"slices"

	"github.com/gdamore/tcell/v2"
)

// Painter draws a program's pictures on the screen, changed cells only.
type Painter struct {
	screen tcell.Screen
	styles styles
	glyphs *Glyphs
	shown  *Canvas // nil = what the screen shows is unknown
}

// NewPainter returns a painter on a screen that shows nothing yet.
func NewPainter(screen tcell.Screen) *Painter {
	return &Painter{screen: screen, styles: stylesFor(screen.Colors()), glyphs: GlyphsFor(screen.CharacterSet())}
}

// Paint draws the program's current picture.
func (p *Painter) Paint(program Program) {
	width, height := p.screen.Size()
	next := NewCanvas(width, height, p.glyphs)
	program.Draw(next)
	if p.shown != nil && (p.shown.Width != width || p.shown.Height != height) {
		p.shown = nil
	}
	if p.shown != nil && slices.Equal(p.shown.picture.cells, next.picture.cells) {
		return
	}
	for i, cell := range next.picture.cells {
		if cell.Text != "" && (p.shown == nil || p.shown.picture.cells[i] != cell) {
			p.screen.Put(i%width, i/width, cell.Text, p.styles.style(cell))
		}
	}
	p.shown = next
	p.screen.Show()
}

// forget makes the next picture a full one.
func (p *Painter) forget() { p.shown = nil }
