package belief

import (
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
)

// Light is what the camera's light showed.
type Light string

// What a light can show.
const (
	LightRecording Light = "recording" // the state recording
	LightStandby   Light = "standby"   // standby, starting or stopping
	LightOff       Light = "off"       // off or booting
)

// Lights lists what a light can show.
var Lights = []Light{LightRecording, LightStandby, LightOff}

// lightOf returns the light in a state. The unknown state explains every light
// and has none of its own.
func lightOf(s sim.State) (light Light, known bool) {
	switch s {
	case sim.StateRecording:
		return LightRecording, true
	case sim.StateStandby, sim.StateStarting, sim.StateStopping:
		return LightStandby, true
	case sim.StateOff, sim.StateBooting:
		return LightOff, true
	default:
		return "", false
	}
}

// Glance is a look at the camera's light at a time of the log.
type Glance struct {
	At    sim.Micros
	Light Light
}

// String returns the glance as [ParseGlance] reads it.
func (g Glance) String() string { return g.At.FineClock() + "=" + string(g.Light) }

// ParseGlance reads "12.5s=recording" or "0:12.5=standby".
func ParseGlance(text string) (Glance, error) {
	at, light, ok := strings.Cut(text, "=")
	if !ok {
		return Glance{}, fmt.Errorf("found %q, want TIME=recording, TIME=standby or TIME=off, such as 0:12.5=recording", text)
	}
	g := Glance{Light: Light(strings.TrimSpace(light))}
	if !slices.Contains(Lights, g.Light) {
		return Glance{}, fmt.Errorf("found %q after the time, want %s", light, sim.OneOf(Lights))
	}
	var err error
	g.At, err = sim.ParseClock(strings.TrimSpace(at))
	return g, err
}

// explainedBy reports whether the light fits a state.
func (g Glance) explainedBy(s sim.State) bool {
	light, known := lightOf(s)
	return !known || light == g.Light
}

// Clip is one file on the card.
type Clip struct {
	Name     string
	Length   sim.Micros
	NoLength bool       // length unknown: the camera never closed the file
	Start    sim.Micros // by the card's clock, whose offset is unknown
	HasStart bool
	// Parts are its files, in order, if the camera split it; nil if it is one
	// file.
	Parts []Part
}

// Part is a file with a part of a clip.
type Part struct {
	Name   string
	Length sim.Micros
}

// lengthText returns the length such as "0:41.000", or "unknown".
func (c Clip) lengthText() string {
	if c.NoLength {
		return "unknown"
	}
	return c.Length.Readable()
}

// Observations are what somebody saw of a flight. The zero value means nothing.
type Observations struct {
	Seen []Glance
	// Clips are the card's files of this flight, in order. Files into which the
	// camera split a clip are joined. nil means that the card was not read,
	// empty that it has no clips.
	Clips []Clip
	// ClipError is the largest error of a clip's length, and of the time between
	// the starts of two clips.
	ClipError sim.Micros
}

// None reports whether nothing was observed.
func (o Observations) None() bool { return len(o.Seen) == 0 && o.Clips == nil }

// check returns an error if an observation is impossible for a log that ends at
// end.
func (o Observations) check(end sim.Micros) error {
	for _, g := range o.Seen {
		if g.At < 0 || g.At > end {
			return fmt.Errorf("glance %s: found a time outside the log, want one from %s to %s", g, sim.Micros(0).FineClock(), end.FineClock())
		}
		if !slices.Contains(Lights, g.Light) {
			return fmt.Errorf("glance at %s: found %q, want %s", g.At.Clock(), g.Light, sim.OneOf(Lights))
		}
	}
	if o.ClipError < 0 {
		return fmt.Errorf("timing error of clips: found %s, want a duration that is not negative", o.ClipError)
	}
	for i, c := range o.Clips {
		if c.Length < 0 || c.Length > sim.MaxDuration || c.Start < -maxClock || c.Start > maxClock {
			return fmt.Errorf("clip %d: found a length of %s and a start of %s, want a length up to 1000h and a time of a clock", i+1, c.Length, c.Start)
		}
	}
	return nil
}

// maxClock keeps the times of a card's clock, which may count from 1970, far from
// overflow.
const maxClock = 1 << 60

// piece is a part of a cell in which the same observations are unexplained.
type piece struct {
	region      region
	unexplained int
}

// splitByGlances splits a cell by the glances.
func (c *cell) splitByGlances(seen []Glance) []piece {
	pieces := []piece{{region: c.region}}
	for _, g := range seen {
		var next []piece
		for _, p := range pieces {
			next = c.splitByGlance(p, g, next)
		}
		pieces = next
	}
	return pieces
}

// splitByGlance appends to list the parts of a piece, each with one state at
// the time of the glance.
func (c *cell) splitByGlance(p piece, g Glance, list []piece) []piece {
	now := moment{base: g.At}
	for i, s := range c.states {
		part := piece{p.region.whereOrdered(s.at, now), p.unexplained}
		if i+1 < len(c.states) && !part.region.empty() {
			part.region = part.region.whereBefore(now, c.states[i+1].at)
		}
		if part.region.empty() {
			continue
		}
		if !g.explainedBy(s.state) {
			part.unexplained++
		}
		list = append(list, part)
	}
	return list
}
