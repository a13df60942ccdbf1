package plot

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"unicode"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// page is the frame of every chart: title, subtitle and emblem above the body,
// legend and notes below it.
type page struct {
	theme    *theme
	size     Size
	title    string
	subtitle string
	about    string
	emblem   *emblem // nil if no press window is in question
	legend   []legendEntry
	notes    []note
	last     []string // the notes that follow all others
}

// legendEntry explains a line, a shape or a fill by a small picture of it. What
// the chart labels in place has none.
type legendEntry struct {
	name    string
	picture func(c draw.Canvas, t *theme)
}

// note is a paragraph, or a line of one, at the foot of a chart. The text of a
// note with a key is indented.
type note struct {
	key, text string
	indent    vg.Length
}

const (
	margin      vg.Length = 12
	legendWidth vg.Length = 22 // of a picture
	keyWidth    vg.Length = 20
	lineSpace   vg.Length = 1.35 // line height over text size
)

func newPage(look Look, title, subtitle string) *page {
	return &page{theme: look.theme(), size: look.Size, title: clean(title), subtitle: clean(subtitle), last: look.Notes}
}

func (p *page) note(words string) { p.notes = append(p.notes, note{text: clean(words)}) }
func (p *page) keyedNote(key, words string) {
	p.notes = append(p.notes, note{key, clean(words), keyWidth})
}

// inner returns the width of the contents.
func (p *page) inner() vg.Length { return p.size.width() - 2*margin }

// chart lays the page out around a body of a natural height. A height that the
// caller gives stretches or shrinks the body, but not below least.
func (p *page) chart(natural, least vg.Length, body func(draw.Canvas)) (*Chart, error) {
	if err := p.size.check(); err != nil {
		return nil, err
	}
	for _, line := range p.last {
		p.note(line)
	}
	foot := p.footLines()
	head, footHeight := p.headHeight(), p.legendHeight()+linesHeight(foot)
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
		c.SetColor(p.theme.Paper.Paper)
		c.Fill(c.Rectangle.Path())
		c = draw.Crop(c, margin, -margin, margin, -margin)
		p.drawHead(c)
		p.drawLegend(c, c.Min.Y+footHeight)
		p.drawFoot(c, foot)
		body(draw.Crop(c, 0, 0, footHeight, -head))
	}}, nil
}

func pixels(length vg.Length) int { return int(math.Ceil(float64(length / pixel))) }

// headWidth returns the width of title and subtitle beside the emblem.
func (p *page) headWidth() vg.Length {
	if p.emblem == nil {
		return p.inner()
	}
	return p.inner() - p.emblemWidth() - 14
}

func (p *page) emblemWidth() vg.Length { return min(170, p.inner()/3) }

// textLine is a line of text with its style.
type textLine struct {
	style text.Style
	words string
}

func (l textLine) width() vg.Length  { return l.style.Width(l.words) }
func (l textLine) height() vg.Length { return l.style.Font.Size * lineSpace }

// maxTitleLines is more than a verdict needs. Only a title with a long name is
// cut.
const maxTitleLines = 7

// headLines returns title and subtitle in lines.
func (p *page) headLines() []textLine {
	heading, quiet, width := p.theme.heading(), p.theme.quietText(), p.headWidth()
	title := wrap(heading, p.title, width)
	if len(title) > maxTitleLines {
		rest := strings.Join(title[maxTitleLines-1:], " ")
		title = append(title[:maxTitleLines-1], truncate(heading, rest, width))
	}
	var lines []textLine
	for _, words := range title {
		lines = append(lines, textLine{heading, words})
	}
	for _, words := range wrap(quiet, p.subtitle, width) {
		lines = append(lines, textLine{quiet, words})
	}
	return lines
}

func (p *page) headHeight() vg.Length {
	height := vg.Length(0)
	for _, l := range p.headLines() {
		height += l.height()
	}
	if p.emblem != nil {
		height = max(height, emblemHeight)
	}
	return height + 8
}

func (p *page) drawHead(c draw.Canvas) {
	y := c.Max.Y
	for _, l := range p.headLines() {
		c.FillText(l.style, vg.Point{X: c.Min.X, Y: y - l.height()/2}, l.words)
		y -= l.height()
	}
	if p.emblem != nil {
		area := c
		area.Min = vg.Point{X: c.Max.X - p.emblemWidth(), Y: c.Max.Y - emblemHeight}
		p.emblem.draw(area, p.theme)
	}
}

const legendRow = textSize * lineSpace * 1.3

func (p *page) legendHeight() vg.Length {
	if rows := p.legendRows(); rows > 0 {
		return vg.Length(rows)*legendRow + 4
	}
	return 0
}

// drawLegend draws the legend downwards from y.
func (p *page) drawLegend(c draw.Canvas, y vg.Length) {
	p.eachLegend(func(x vg.Length, row int, e legendEntry) {
		top := y - vg.Length(row)*legendRow
		picture := c
		picture.Min = vg.Point{X: c.Min.X + x, Y: top - legendRow + 2}
		picture.Max = vg.Point{X: c.Min.X + x + legendWidth, Y: top - 2}
		e.picture(picture, p.theme)
		c.FillText(p.theme.text(), vg.Point{X: picture.Max.X + 4, Y: top - legendRow/2}, e.name)
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

// footLines breaks the notes into lines. A key is on the first line of its note.
func (p *page) footLines() []note {
	var lines []note
	for _, n := range p.notes {
		for _, n.text = range wrap(p.theme.text(), n.text, p.inner()-n.indent) {
			lines = append(lines, n)
			n.key = ""
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
		at.X += n.indent
		c.FillText(p.theme.text(), at, n.text)
	}
}

// clean makes text from a log or a rig safe for one line of any format: runs of
// unprintable characters become a space.
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
	fits := sort.Search(len(runes), func(n int) bool { return style.Width(string(runes[:n+1])+ellipsis) > width })
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
