package plot

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const hatchGap vg.Length = 5

// drawHatch hatches an area.
func drawHatch(c draw.Canvas, area vg.Rectangle, h hatch, style draw.LineStyle) {
	if path := addHatch(nil, area, h); len(path) > 0 {
		c.SetLineStyle(style)
		c.Stroke(path)
	}
}

// addHatch adds an area's hatch to a path. All hatches lie on one raster across
// the page, so that those of neighbouring areas match.
func addHatch(path vg.Path, area vg.Rectangle, h hatch) vg.Path {
	switch h {
	case hatchRising:
		return addSlanted(path, area, 1)
	case hatchFalling:
		return addSlanted(path, area, -1)
	case hatchCross:
		return addSlanted(addSlanted(path, area, 1), area, -1)
	case hatchUpright:
		return addUpright(path, area)
	default:
		return path
	}
}

func addUpright(path vg.Path, area vg.Rectangle) vg.Path {
	first := vg.Length(math.Ceil(float64(area.Min.X/hatchGap))) * hatchGap
	for x := first; x < area.Max.X; x += hatchGap {
		path.Move(vg.Point{X: x, Y: area.Min.Y})
		path.Line(vg.Point{X: x, Y: area.Max.Y})
	}
	return path
}

// addSlanted adds lines y = slope·x + offset, for a slope of 1 or -1, cut at
// the area's edges.
func addSlanted(path vg.Path, area vg.Rectangle, slope vg.Length) vg.Path {
	low := min(area.Min.Y-slope*area.Min.X, area.Min.Y-slope*area.Max.X)
	high := max(area.Max.Y-slope*area.Min.X, area.Max.Y-slope*area.Max.X)
	const gap = hatchGap * math.Sqrt2
	for offset := vg.Length(math.Ceil(float64(low/gap))) * gap; offset < high; offset += gap {
		x0, x1 := (area.Min.Y-offset)/slope, (area.Max.Y-offset)/slope
		from, to := max(min(x0, x1), area.Min.X), min(max(x0, x1), area.Max.X)
		if from < to {
			path.Move(vg.Point{X: from, Y: slope*from + offset})
			path.Line(vg.Point{X: to, Y: slope*to + offset})
		}
	}
	return path
}
