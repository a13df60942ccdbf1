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
	spare  *Canvas // to draw the next picture on; nil = make a new one
}

// NewPainter returns a painter on a screen that shows nothing yet.
func NewPainter(screen tcell.Screen) *Painter {
	return &Painter{screen: screen, styles: stylesFor(screen.Colors()), glyphs: GlyphsFor(screen.CharacterSet())}
}

// Paint draws the program's current picture.
func (p *Painter) Paint(program Program) {
	width, height := p.screen.Size()
	next := p.blankCanvas(width, height)
	program.Draw(next)
	if p.shown != nil && !p.shown.isSize(width, height) {
		p.shown = nil
	}
	if p.shown != nil && slices.Equal(p.shown.picture.cells, next.picture.cells) {
		p.spare = next
		return
	}
	for i, cell := range next.picture.cells {
		if cell.Text != "" && (p.shown == nil || p.shown.picture.cells[i] != cell) {
			p.screen.Put(i%width, i/width, cell.Text, p.styles.style(cell))
		}
	}
	p.shown, p.spare = next, p.shown
	p.screen.Show()
}

// blankCanvas returns the spare canvas, wiped, or a new one. Reuse spares the
// garbage of a picture per frame.
func (p *Painter) blankCanvas(width, height int) *Canvas {
	if p.spare == nil || !p.spare.isSize(width, height) {
		return NewCanvas(width, height, p.glyphs)
	}
	p.spare.picture.wipe()
	return p.spare
}

// forget makes the next picture a full one.
func (p *Painter) forget() { p.shown = nil }
