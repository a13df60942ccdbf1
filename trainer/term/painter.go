package term

import (
	"slices"

	"github.com/gdamore/tcell/v2"
)

// painter brings a program's pictures to the screen, changed cells only.
type painter struct {
	screen tcell.Screen
	styles styles
	glyphs *Glyphs
	shown  *picture // nil: what the screen shows is not known
}

func newPainter(screen tcell.Screen) painter {
	return painter{screen: screen, styles: stylesFor(screen.Colors()), glyphs: GlyphsFor(screen.CharacterSet())}
}

// paint draws the program as it stands.
func (p *painter) paint(program Program) {
	width, height := p.screen.Size()
	canvas := NewCanvas(width, height, p.glyphs)
	program.Draw(canvas)
	next := canvas.picture
	if p.shown != nil && (p.shown.width != width || p.shown.height != height) {
		p.shown = nil
	}
	if p.shown != nil && slices.Equal(p.shown.cells, next.cells) {
		return
	}
	for i, cell := range next.cells {
		if cell.Text != "" && (p.shown == nil || p.shown.cells[i] != cell) {
			p.screen.Put(i%width, i/width, cell.Text, p.styles.style(cell))
		}
	}
	p.shown = next
	p.screen.Show()
}

// forget makes the next picture a full one.
func (p *painter) forget() { p.shown = nil }
