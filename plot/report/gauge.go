package report

import (
	"flicktally/sim"
	"flicktally/sim/lanes"
)

// strip is the press window on the page: large as the emblem, small with a hold
// in each row of a table.
type strip struct {
	Width int
	Zones []stripZone
	Marks []stripMark
	HoldX string // of the hold in px; empty if there is none
}

// stripZone is a stretch of a strip, in px.
type stripZone struct {
	X, Width, Class string
	Name            string // empty if it has no room
	Middle          string
}

// stripMark labels a threshold below a strip, centred on X px.
type stripMark struct{ X, Words string }

const (
	gaugeWidth  = 120
	emblemWidth = 240
)

// newStrip lays out the press window of a camera on a width in px.
func newStrip(c sim.CameraSpec, width int) strip {
	s := strip{Width: width}
	drawn := lanes.StripOf(c)
	for _, z := range drawn.Zones {
		wide := (z.To - z.From) * float64(width)
		zone := stripZone{
			X: coordinate(z.From * float64(width)), Width: coordinate(wide), Class: class(z.Look),
			Middle: coordinate(z.From*float64(width) + wide/2),
		}
		if wide > float64(len(z.Name))*letterWidth+textMargin {
			zone.Name = z.Name
		}
		s.Zones = append(s.Zones, zone)
	}
	places := drawn.MarkPlaces(float64(width), func(words string) float64 { return float64(len(words)) * letterWidth })
	for i, m := range drawn.Marks {
		s.Marks = append(s.Marks, stripMark{coordinate(places[i]), m.Words})
	}
	return s
}

// withHold returns the strip with a hold marked.
func (s strip) withHold(c sim.CameraSpec, hold sim.Micros) strip {
	if hold != sim.Never {
		s.HoldX = coordinate(lanes.StripOf(c).X(hold) * float64(s.Width))
	}
	return s
}
