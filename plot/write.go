package plot

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"
)

// Format is a file format for charts.
type Format string

// The formats.
const (
	pngFile Format = "png"
	SVG     Format = "svg"
	pdf     Format = "pdf"
)

// FormatOf returns the format that the ending of a file name stands for.
func FormatOf(name string) (Format, error) {
	switch format := Format(strings.ToLower(strings.TrimPrefix(filepath.Ext(name), "."))); format {
	case pngFile, SVG, pdf:
		return format, nil
	case "":
		return "", fmt.Errorf("found no ending in the file name %q, want .png, .svg or .pdf", name)
	default:
		return "", fmt.Errorf("found .%s in the file name %q, want .png, .svg or .pdf", format, name)
	}
}

// Write draws a chart in a format. Equal charts give equal bytes.
func Write(w io.Writer, c *Chart, f Format) error {
	switch f {
	case pngFile:
		return c.writePNG(w)
	case SVG:
		return c.writeSVG(w)
	case pdf:
		return c.writePDF(w)
	default:
		panic(fmt.Sprintf("internal error: format %q", f))
	}
}

func (c *Chart) lengths() (width, height vg.Length) {
	return vg.Length(c.size.Width) * pixel, vg.Length(c.size.Height) * pixel
}

func (c *Chart) writePNG(w io.Writer) error {
	width, height := c.lengths()
	canvas := unkerned{vgimg.NewWith(
		vgimg.UseWH(width, height), vgimg.UseDPI(96), vgimg.UseBackgroundColor(c.theme.Paper.Paper))}
	c.draw(draw.New(canvas))
	_, err := vgimg.PngCanvas{Canvas: canvas.Canvas}.WriteTo(w)
	return err
}

// unkerned draws every letter at its own width. In pixels at small sizes, the
// font's kerning crushes pairs such as 11 and To.
type unkerned struct{ *vgimg.Canvas }

// FillString draws text.
func (c unkerned) FillString(f font.Face, at vg.Point, text string) {
	for _, letter := range text {
		c.Canvas.FillString(f, at, string(letter))
		at.X += f.Width(string(letter))
	}
}

// writeSVG writes the drawing library's SVG and adds a title and a description
// for screen readers, and fallback fonts of the same widths.
func (c *Chart) writeSVG(w io.Writer) error {
	width, height := c.lengths()
	canvas := vgsvg.New(width, height)
	c.draw(draw.New(canvas))
	var drawn bytes.Buffer
	if _, err := canvas.WriteTo(&drawn); err != nil {
		return err
	}
	start, rest, found := bytes.Cut(drawn.Bytes(), []byte(`xmlns:xlink="http://www.w3.org/1999/xlink">`))
	if !found {
		panic("internal error: no root element in the drawn SVG")
	}
	rest = bytes.ReplaceAll(rest, []byte("font-family:Liberation Sans;"),
		[]byte("font-family:'Liberation Sans',Arial,Helvetica,sans-serif;font-kerning:none;"))
	_, err := fmt.Fprintf(w, "%sxmlns:xlink=\"http://www.w3.org/1999/xlink\" role=\"img\">\n<title>%s</title>\n<desc>%s</desc>%s",
		start, html.EscapeString(c.title), html.EscapeString(c.about), rest)
	return err
}

// steadyPDF fixes the times in a PDF and the order of its parts, so that equal
// charts give equal files. The library's settings are those of the whole process,
// so they are changed only when the first PDF is written.
var steadyPDF = sync.OnceFunc(func() {
	epoch := time.Unix(0, 0).UTC()
	fpdf.SetDefaultCreationDate(epoch)
	fpdf.SetDefaultModificationDate(epoch)
	fpdf.SetDefaultCatalogSort(true)
})

func (c *Chart) writePDF(w io.Writer) error {
	steadyPDF()
	width, height := c.lengths()
	canvas := pdfCanvas{vgpdf.New(width, height)}
	c.draw(draw.New(canvas))
	_, err := canvas.WriteTo(w)
	return err
}

// pdfCanvas writes text in the encoding of PDF fonts, in which other characters
// become question marks.
type pdfCanvas struct{ *vgpdf.Canvas }

// FillString draws text.
func (c pdfCanvas) FillString(f font.Face, at vg.Point, text string) {
	encoder := encoding.ReplaceUnsupported(charmap.Windows1252.NewEncoder())
	encoded, err := encoder.String(text)
	if err != nil {
		panic(fmt.Sprintf("internal error: text %q for a PDF: %v", text, err))
	}
	c.Canvas.FillString(f, at, strings.ReplaceAll(encoded, "\x1a", "?"))
}
