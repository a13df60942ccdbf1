package plot

import (
	"fmt"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Chart is a drawing laid out for its size. The constructors of this package make
// one, and [Write] writes it to a file.
type Chart struct {
	size  Size // in pixels; its height is never 0
	title string
	about string // the chart in one sentence, for readers who cannot see it
	theme *theme
	draw  func(draw.Canvas)
}

// Look is the appearance of a chart. The zero value is light and has the
// standard width.
type Look struct {
	Size Size
	Dark bool
	// Notes are lines at the foot of the chart, such as where its numbers come
	// from.
	Notes []string
}

// Size is a width and a height in pixels, 96 to the inch. A width of 0 is the
// standard width, a height of 0 fits the contents.
type Size struct{ Width, Height int }

// The limits of a chart's width and height, and its standard width.
const (
	minWidth      = 360
	MaxSide       = 20_000
	standardWidth = 1200
)

// ParseSize reads a size such as "1200x800", or a width alone. It returns an
// error if the text is no size or beyond the limits.
func ParseSize(text string) (Size, error) {
	bad := fmt.Errorf("found %q, want WIDTHxHEIGHT or WIDTH in pixels, such as 1200x800", text)
	widthText, heightText, both := strings.Cut(text, "x")
	width, err := strconv.Atoi(widthText)
	if err != nil || width < 1 {
		return Size{}, bad
	}
	size := Size{Width: width}
	if both {
		if size.Height, err = strconv.Atoi(heightText); err != nil || size.Height < 1 {
			return Size{}, bad
		}
	}
	return size, size.check()
}

func (s Size) check() error {
	if s.Width != 0 && (s.Width < minWidth || s.Width > MaxSide) {
		return fmt.Errorf("found a width of %d pixels, want %d to %d", s.Width, minWidth, MaxSide)
	}
	if s.Height < 0 || s.Height > MaxSide {
		return fmt.Errorf("found a height of %d pixels, want at most %d", s.Height, MaxSide)
	}
	return nil
}

func (s Size) width() vg.Length {
	if s.Width == 0 {
		return standardWidth * pixel
	}
	return vg.Length(s.Width) * pixel
}
