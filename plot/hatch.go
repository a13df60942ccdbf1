package plot

import (
	"math"

	"gonum.org/v1/plot/vg"

	"flicktally/sim/lanes"
)

const hatchGap vg.Length = 5

// addHatch adds an area's hatch to a path. All hatches of a page share one
// raster, so that those of neighbouring areas meet.
func addHatch(path vg.Path, area vg.Rectangle, h lanes.Hatch) vg.Path {
	switch h {
	case lanes.Rising:
		return addSlanted(path, area, 1)
	case lanes.Falling:
		return addSlanted(path, area, -1)
	case lanes.Cross:
		return addSlanted(addSlanted(path, area, 1), area, -1)
	case lanes.Upright:
		for x := onRaster(area.Min.X); x < area.Max.X; x += hatchGap {
			path.Move(vg.Point{X: x, Y: area.Min.Y})
			path.Line(vg.Point{X: x, Y: area.Max.Y})
		}
	case lanes.Level:
		for y := onRaster(area.Min.Y); y < area.Max.Y; y += hatchGap {
			path.Move(vg.Point{X: area.Min.X, Y: y})
			path.Line(vg.Point{X: area.Max.X, Y: y})
		}
	case lanes.Dots:
		return addDots(path, area)
	}
	return path
}

// addDots adds a short stroke at every crossing of the raster.
func addDots(path vg.Path, area vg.Rectangle) vg.Path {
	for x := onRaster(area.Min.X); x < area.Max.X-1; x += hatchGap {
		for y := onRaster(area.Min.Y); y < area.Max.Y; y += hatchGap {
			path.Move(vg.Point{X: x, Y: y})
			path.Line(vg.Point{X: x + 1, Y: y})
		}
	}
	return path
}

func onRaster(from vg.Length) vg.Length {
	return vg.Length(math.Ceil(float64(from/hatchGap))) * hatchGap
}

// addSlanted adds lines y = slope·x + offset, with a slope of 1 or -1, within an
// area.
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
