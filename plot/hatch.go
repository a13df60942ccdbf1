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
			addLine(&path, x, area.Min.Y, x, area.Max.Y)
		}
	case lanes.Level:
		for y := onRaster(area.Min.Y); y < area.Max.Y; y += hatchGap {
			addLine(&path, area.Min.X, y, area.Max.X, y)
		}
	case lanes.Dots:
		for x := onRaster(area.Min.X); x < area.Max.X-1; x += hatchGap {
			for y := onRaster(area.Min.Y); y < area.Max.Y; y += hatchGap {
				addLine(&path, x, y, x+1, y)
			}
		}
	}
	return path
}

// onRaster returns the first place on the raster from a place on.
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
			addLine(&path, from, slope*from+offset, to, slope*to+offset)
		}
	}
	return path
}
