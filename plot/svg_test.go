package plot

import (
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"flicktally/sim/lanes"
)

// drawing is a chart read back from its SVG, in points from the bottom left.
type drawing struct {
	width, height vg.Length
	title         string
	texts         []drawnText
	paths         []drawnPath
}

type drawnText struct {
	words string
	box   vg.Rectangle // of the letters, without descenders
}

// drawnPath is a path of straight lines. Each move starts a run.
type drawnPath struct {
	runs  [][]vg.Point
	style map[string]string
}

// centre returns the middle of a text.
func (d drawnText) centre() vg.Point {
	return vg.Point{X: (d.box.Min.X + d.box.Max.X) / 2, Y: (d.box.Min.Y + d.box.Max.Y) / 2}
}

// bounds returns the rectangle around a run.
func bounds(run []vg.Point) vg.Rectangle {
	r := vg.Rectangle{Min: run[0], Max: run[0]}
	for _, p := range run {
		r.Min.X, r.Min.Y = min(r.Min.X, p.X), min(r.Min.Y, p.Y)
		r.Max.X, r.Max.Y = max(r.Max.X, p.X), max(r.Max.Y, p.Y)
	}
	return r
}

func written(t testing.TB, c *Chart, f Format) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, c, f))
	return out.Bytes()
}

// readBack draws a chart as SVG and parses it as XML with the standard library.
func readBack(t testing.TB, c *Chart) drawing {
	t.Helper()
	var d drawing
	decoder := xml.NewDecoder(bytes.NewReader(written(t, c, SVG)))
	var element xml.StartElement
	var words string
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return d
		}
		require.NoError(t, err, "the SVG is well-formed XML")
		switch token := token.(type) {
		case xml.StartElement:
			element, words = token.Copy(), ""
			d.addShape(t, element)
		case xml.CharData:
			words += string(token)
		case xml.EndElement:
			switch token.Name.Local {
			case "title":
				d.title = words
			case "text":
				d.addText(t, element, words)
			}
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func number(t testing.TB, s string) vg.Length {
	t.Helper()
	n, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSuffix(s, "pt"), "px"), 64)
	require.NoError(t, err)
	return vg.Length(n)
}

func styleOf(e xml.StartElement) map[string]string {
	style := map[string]string{}
	for property := range strings.SplitSeq(attribute(e, "style"), ";") {
		name, value, _ := strings.Cut(property, ":")
		style[name] = value
	}
	return style
}

func (d *drawing) addShape(t testing.TB, e xml.StartElement) {
	switch e.Name.Local {
	case "svg":
		d.width, d.height = number(t, attribute(e, "width")), number(t, attribute(e, "height"))
	case "path":
		d.paths = append(d.paths, drawnPath{runsOf(t, attribute(e, "d")), styleOf(e)})
	}
}

var pathCommand = regexp.MustCompile(`([MLZ])([-0-9.e+]*),?([-0-9.e+]*)`)

func runsOf(t testing.TB, data string) [][]vg.Point {
	var runs [][]vg.Point
	for _, c := range pathCommand.FindAllStringSubmatch(data, -1) {
		if c[1] == "Z" {
			continue
		}
		p := vg.Point{X: number(t, c[2]), Y: number(t, c[3])}
		if c[1] == "M" {
			runs = append(runs, nil)
		}
		runs[len(runs)-1] = append(runs[len(runs)-1], p)
	}
	return runs
}

func (d *drawing) addText(t testing.TB, e xml.StartElement, words string) {
	style := styleOf(e)
	size := number(t, style["font-size"])
	at := vg.Point{X: number(t, attribute(e, "x")), Y: -number(t, attribute(e, "y"))}
	width := textStyle(light.Ink, size).Width(words)
	// 0.73 em is the height of capitals and digits in this font.
	d.texts = append(d.texts, drawnText{words, vg.Rectangle{Min: at, Max: at.Add(vg.Point{X: width, Y: 0.73 * size})}})
}

// text returns the only text with these words.
func (d drawing) text(t testing.TB, words string) drawnText {
	t.Helper()
	var found []drawnText
	for _, text := range d.texts {
		if text.words == words {
			found = append(found, text)
		}
	}
	require.Len(t, found, 1, "texts that say %q", words)
	return found[0]
}

// allText returns the texts of a drawing, one a line.
func (d drawing) allText() string {
	var lines []string
	for _, text := range d.texts {
		lines = append(lines, text.words)
	}
	return strings.Join(lines, "\n")
}

// filled returns the areas in the colour of a look.
func (d drawing) filled(l lanes.Look) []vg.Rectangle {
	colour := strings.ToUpper(lanes.Light.Fill(l).Hex())
	var areas []vg.Rectangle
	for _, p := range d.paths {
		if p.style["fill"] == colour {
			for _, run := range p.runs {
				areas = append(areas, bounds(run))
			}
		}
	}
	return areas
}
