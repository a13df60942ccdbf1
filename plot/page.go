package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// page is the frame of every chart: title, subtitle and legend above the body,
// notes below it.
type page struct {
	theme    *theme
	size     Size
	title    string
	subtitle string
	about    string
	legend   []legendEntry
	notes    []note
}

// legendEntry explains a line, a shape or a fill by a small picture of it.
type legendEntry struct {
	name    string
	picture func(c draw.Canvas, t *theme)
}

// note is a paragraph at the foot of a chart, with an optional key before it.
type note struct {
	key  string
	text string
}

const (
	margin      vg.Length = 12
	legendWidth vg.Length = 22 // of a picture
	keyWidth    vg.Length = 20
	lineSpace   vg.Length = 1.35 // line height over text size
)

func newPage(look Look, title, subtitle string) *page {
	p := &page{theme: look.theme(), size: look.Size, title: clean(title), subtitle: clean(subtitle)}
	for _, line := range look.Notes {
		p.note(line)
	}
	return p
}

func (p *page) note(text string)            { p.keyedNote("", text) }
func (p *page) keyedNote(key, words string) { p.notes = append(p.notes, note{key, clean(words)}) }

// inner returns the width that the contents have.
func (p *page) inner() vg.Length { return p.size.width() - 2*margin }

// chart lays the page out around a body of a natural height, which a given
// height stretches or shrinks, but not below least.
func (p *page) chart(natural, least vg.Length, body func(draw.Canvas)) (*Chart, error) {
	if err := p.size.check(); err != nil {
		return nil, err
	}
	foot := p.footLines()
	head, footHeight := p.headHeight(), linesHeight(foot)
	around := head + footHeight + 2*margin
	size := Size{Width: int(math.Round(float64(p.size.width() / pixel))), Height: p.size.Height}
	if size.Height == 0 {
		size.Height = pixels(around + natural)
		if size.Height > MaxSide {
			return nil, fmt.Errorf("found contents %d pixels high, want at most %d", size.Height, MaxSide)
		}
	} else if needed := pixels(around + least); size.Height < needed {
		return nil, fmt.Errorf("found a height of %d pixels, want at least %d for these contents", size.Height, needed)
	}
	return &Chart{size: size, title: p.title, about: p.about, theme: p.theme, draw: func(c draw.Canvas) {
		c.SetColor(p.theme.paper)
		c.Fill(c.Rectangle.Path())
		c = draw.Crop(c, margin, -margin, margin, -margin)
		p.drawHead(c)
		p.drawFoot(c, foot)
		body(draw.Crop(c, 0, 0, footHeight, -head))
	}}, nil
}

func pixels(length vg.Length) int { return int(math.Ceil(float64(length / pixel))) }

func (p *page) headHeight() vg.Length {
	height := titleSize * lineSpace
	height += vg.Length(len(wrap(p.theme.quietText(), p.subtitle, p.inner()))) * smallSize * lineSpace
	height += vg.Length(p.legendRows()) * textSize * lineSpace * 1.2
	return height + 6
}

func (p *page) drawHead(c draw.Canvas) {
	y := c.Max.Y - titleSize*lineSpace/2
	c.FillText(p.theme.heading(), vg.Point{X: c.Min.X, Y: y}, truncate(p.theme.heading(), p.title, p.inner()))
	y = c.Max.Y - titleSize*lineSpace
	for _, line := range wrap(p.theme.quietText(), p.subtitle, p.inner()) {
		c.FillText(p.theme.quietText(), vg.Point{X: c.Min.X, Y: y - smallSize*lineSpace/2}, line)
		y -= smallSize * lineSpace
	}
	p.eachLegend(func(x vg.Length, row int, e legendEntry) {
		height := textSize * lineSpace * 1.2
		top := y - vg.Length(row)*height
		picture := c
		picture.Min = vg.Point{X: c.Min.X + x, Y: top - height + 2}
		picture.Max = vg.Point{X: c.Min.X + x + legendWidth, Y: top - 2}
		e.picture(picture, p.theme)
		c.FillText(p.theme.text(), vg.Point{X: picture.Max.X + 4, Y: top - height/2}, e.name)
	})
}

// eachLegend yields the place of every legend entry, in rows from the left.
func (p *page) eachLegend(yield func(x vg.Length, row int, e legendEntry)) {
	x, row := vg.Length(0), 0
	for _, e := range p.legend {
		e.name = truncate(p.theme.text(), clean(e.name), p.inner()-legendWidth-4)
		width := legendWidth + 4 + p.theme.text().Width(e.name)
		if x > 0 && x+width > p.inner() {
			x, row = 0, row+1
		}
		yield(x, row, e)
		x += width + 14
	}
}

func (p *page) legendRows() int {
	rows := 0
	p.eachLegend(func(_ vg.Length, row int, _ legendEntry) { rows = row + 1 })
	return rows
}

// indent returns the room for keys before the notes.
func (p *page) indent() vg.Length {
	if slices.ContainsFunc(p.notes, func(n note) bool { return n.key != "" }) {
		return keyWidth
	}
	return 0
}

// footLines returns the notes, broken into lines; a key stands on the first
// line of its note.
func (p *page) footLines() []note {
	var lines []note
	for _, n := range p.notes {
		key := n.key
		for _, line := range wrap(p.theme.text(), n.text, p.inner()-p.indent()) {
			lines = append(lines, note{key, line})
			key = ""
		}
	}
	return lines
}

func linesHeight(lines []note) vg.Length {
	if len(lines) == 0 {
		return 0
	}
	return vg.Length(len(lines))*textSize*lineSpace + 6
}

func (p *page) drawFoot(c draw.Canvas, lines []note) {
	y := c.Min.Y + vg.Length(len(lines))*textSize*lineSpace
	for _, n := range lines {
		y -= textSize * lineSpace
		at := vg.Point{X: c.Min.X, Y: y + textSize*lineSpace/2}
		c.FillText(p.theme.text(), at, n.key)
		at.X += p.indent()
		c.FillText(p.theme.text(), at, n.text)
	}
}

// clean makes text that came from a log or a rig fit for one line of any
// format: what does not print becomes a space.
func clean(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		return unicode.IsSpace(r) || !unicode.IsPrint(r) || r == unicode.ReplacementChar
	}), " ")
}

const ellipsis = "…"

// truncate shortens text to a width.
func truncate(style text.Style, s string, width vg.Length) string {
	if style.Width(s) <= width {
		return s
	}
	runes := []rune(s)
	fits := 0
	for low, high := 0, len(runes); low < high; {
		middle := (low + high + 1) / 2
		if style.Width(string(runes[:middle])+ellipsis) <= width {
			low, fits = middle, middle
		} else {
			high = middle - 1
		}
	}
	return strings.TrimRight(string(runes[:fits]), " ") + ellipsis
}

// wrap breaks text into lines of at most a width.
func wrap(style text.Style, s string, width vg.Length) []string {
	var lines []string
	current := ""
	for _, word := range strings.Fields(s) {
		longer := strings.TrimLeft(current+" "+word, " ")
		if current != "" && style.Width(longer) > width {
			lines = append(lines, current)
			longer = word
		}
		current = truncate(style, longer, width)
	}
	if current != "" {
		lines = append(lines, current)
	}
	return lines
}
