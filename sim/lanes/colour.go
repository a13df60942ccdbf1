package lanes

import (
	"fmt"
	"image/color"
	"math"
)

// RGB is a colour, 0xRRGGBB.
type RGB uint32

func (c RGB) parts() (r, g, b uint8) { return uint8(c >> 16), uint8(c >> 8), uint8(c) }

// RGBA makes it a [color.Color].
func (c RGB) RGBA() (r, g, b, a uint32) {
	red, green, blue := c.parts()
	return color.NRGBA{R: red, G: green, B: blue, A: 255}.RGBA()
}

// Hex writes the colour for a style sheet: "#0e7c6b".
func (c RGB) Hex() string { return fmt.Sprintf("#%06x", uint32(c)) }

// luminance is the relative luminance of WCAG 2.1, 0 to 1.
func (c RGB) luminance() float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	r, g, b := c.parts()
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

// contrast is the contrast ratio of WCAG 2.1, 1 to 21.
func contrast(a, b RGB) float64 {
	high, low := max(a.luminance(), b.luminance()), min(a.luminance(), b.luminance())
	return (high + 0.05) / (low + 0.05)
}

// Mixed returns the colour mixed with paper, in a share of 0 to 1.
func (c RGB) Mixed(paper RGB, share float64) RGB {
	mix := func(shift uint) RGB {
		from, to := float64(paper>>shift&0xff), float64(c>>shift&0xff)
		return RGB(from*(1-share)+to*share+0.5) << shift
	}
	return mix(16) | mix(8) | mix(0)
}

// towards moves the colour towards ink just far enough to reach a contrast with
// paper.
func (c RGB) towards(ink, paper RGB, least float64) RGB {
	for share := 0.0; share < 1; share += 0.05 {
		if moved := ink.Mixed(c, share); contrast(moved, paper) >= least {
			return moved
		}
	}
	return ink
}
