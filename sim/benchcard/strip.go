package benchcard

import (
	"flicktally/sim"
	"flicktally/sim/lanes"
)

// stripZone is a zone of the press window on a strip of 400 units.
type stripZone struct {
	X, Width, Middle float64
	Fill, Ink        string // colours
	Hatch            string // lines of a hatch, "" = none
	Name             string // "" if there is no room
}

// strip is the press window on a strip of 400 units.
type strip struct {
	Zones []stripZone
	Marks []lanes.StripMark // with their places in units
}

// stripOf lays out the press window as the charts and pages do.
func stripOf(c sim.CameraSpec) strip {
	const width, letter = 400.0, 6.4
	drawn := lanes.StripOf(c)
	var s strip
	for i, at := range drawn.MarkPlaces(width, func(words string) float64 { return float64(len(words)) * letter }) {
		s.Marks = append(s.Marks, lanes.StripMark{At: at, Words: drawn.Marks[i].Words})
	}
	for _, z := range drawn.Zones {
		fill := lanes.Light.Fill(z.Look)
		zone := stripZone{
			X: z.From * width, Width: (z.To - z.From) * width, Middle: (z.From + z.To) / 2 * width,
			Fill: fill.Hex(), Ink: lanes.Light.On(fill).Hex(), Hatch: z.Look.Entry().Hatch.Path(),
		}
		if zone.Width > float64(len(z.Name))*letter {
			zone.Name = z.Name
		}
		s.Zones = append(s.Zones, zone)
	}
	return s
}
