package lanes

import "flicktally/sim"

// Look is a kind of thing to draw: a state of the camera, an outcome of a flick,
// or another kind of stretch. [Look.Entry] says how to draw it.
type Look int

// The looks. None is the look between the stretches of a lane.
const (
	None Look = iota

	Recording // a state of the camera, and a take
	starting
	stopping
	standby
	booting
	cameraOff
	cameraUnknown

	Toggled // outcomes of flicks
	Short
	Long
	double
	Busy
	off
	wake
	Unseen
	ignored
	waiting
	Unknown
	open

	Pressed // what else a lane shows
	Armed
	NoSignal
	Lost    // a finding that cost footage
	finding // another finding
	Several // too many to distinguish

	lookCount
)

// Hatch is a pattern that distinguishes areas without colour.
type Hatch string

// The hatches.
const (
	Plain   Hatch = "plain"
	Rising  Hatch = "rising"  // lines that rise to the right
	Falling Hatch = "falling" // lines that fall to the right
	Cross   Hatch = "cross"
	Upright Hatch = "upright"
	Level   Hatch = "level"
	Dots    Hatch = "dots"
)

// Path returns a hatch on a square of 6 px as an SVG path; "" for a plain one.
func (h Hatch) Path() string {
	return map[Hatch]string{
		Rising: "M-1 1L1 -1M0 6L6 0M5 7L7 5", Falling: "M-1 5L1 7M0 0L6 6M5 -1L7 1", Cross: "M0 6L6 0M0 0L6 6",
		Upright: "M3 0V6", Level: "M0 3H6", Dots: "M2 3H4",
	}[h]
}

// Tone is how densely a terminal cell is filled, which distinguishes stretches
// without colour.
type Tone int

// The tones.
const (
	untoned Tone = iota
	Dotted
	Faint
	Dense
	Solid
	Questioned // unknown

	// ToneCount is the number of tones.
	ToneCount = iota
)

// Entry is how a look is drawn.
type Entry struct {
	Name string // for people
	// Light and Dark are fills on light and on dark paper.
	Light, Dark RGB
	// Basic is one of the 16 colours of a plain terminal, 0 to 15; -1 is the
	// terminal's own text colour.
	Basic  int
	Hatch  Hatch
	Letter string // of a terminal, one ASCII character
	Sign   string // Letter for a terminal with more than ASCII
	Tone   Tone
	Shape  Shape
}

// key is the table: the only place that gives a look a colour, a hatch, a
// letter or a shape.
var key = [lookCount]Entry{
	None: {"", 0xFFFFFF, 0x12191F, -1, Plain, " ", " ", untoned, nil},

	Recording:     {"recording", 0xC7432B, 0xF07A5E, 1, Plain, "R", "R", Dense, disc},
	starting:      {"starting", 0xEBB3A6, 0x8C4437, 1, Rising, "/", "/", Faint, nil},
	stopping:      {"stopping", 0xEBB3A6, 0x8C4437, 1, Falling, `\`, `\`, Faint, nil},
	standby:       {"standby", 0xF1F4F3, 0x1E2830, -1, Plain, ".", "·", Dotted, nil},
	booting:       {"booting", 0xD3DADF, 0x3B4750, -1, Upright, "+", "+", Faint, nil},
	cameraOff:     {"off", 0x39444E, 0x5C6872, -1, Plain, "x", "×", untoned, cross},
	cameraUnknown: {"unknown", 0x98A3AB, 0x818C94, 5, Level, "?", "?", Questioned, question},

	Toggled: {"toggled", 0x0E7C6B, 0x35B49D, 2, Plain, "o", "●", Solid, disc},
	Short:   {"short", 0xF0B43C, 0xF0B43C, 3, Rising, "s", "▏", Dense, narrowBar},
	Long:    {"long", 0x7A2C5E, 0xC56FA5, 5, Falling, "l", "▬", Dense, wideBar},
	double:  {"double", 0xB08ACB, 0x8C63AE, 5, Cross, "d", "‖", Dense, twoBars},
	Busy:    {"busy", 0x6C98C4, 0x6FA3D8, 4, Upright, "b", "▼", Dense, hourglass},
	off:     {"off", 0x39444E, 0x5C6872, -1, Dots, "x", "×", Dense, cross},
	wake:    {"wake", 0x9CC766, 0x9CC766, 2, Falling, "w", "▲", Dense, triangle},
	Unseen:  {"unseen", 0xE9E4F4, 0x3A3550, -1, Dots, "u", "◇", Dense, diamond},
	ignored: {"ignored", 0xD9C8A8, 0xB5A37F, 3, Cross, "i", "⊘", Dense, barredRing},
	waiting: {"waiting", 0xA9D6CC, 0x1F6B60, 2, Upright, "p", "○", Dense, ring},
	Unknown: {"unknown", 0x98A3AB, 0x818C94, 5, Level, "?", "?", Dense, question},
	open:    {"open", 0xCBD5DB, 0x46525A, -1, Level, "[", "▷", Dense, openBox},

	Pressed:  {"pressed", 0x56697A, 0x9BACBA, 6, Plain, "#", "█", Solid, nil},
	Armed:    {"armed", 0xC9D6E3, 0x2F4152, 2, Plain, "a", "a", Faint, nil},
	NoSignal: {"no signal", 0xE4E7E9, 0x2A333A, 1, Falling, "x", "╳", Questioned, nil},
	Lost:     {"costly finding", 0x14202B, 0xF0F3F4, 1, Plain, "!", "!", Solid, nil},
	finding:  {"finding", 0xFFFFFF, 0x12191F, -1, Plain, "*", "*", untoned, nil},
	Several:  {"several", 0x84909A, 0x8F9AA2, -1, Dots, "%", "▒", Dense, nil},
}

// Entry returns how a look is drawn.
func (l Look) Entry() Entry { return key[l] }

// Name returns the name of a look.
func (l Look) Name() string { return key[l].Name }

// FullName returns the name for a legend, which differs from that of every other
// look: a state has its outcome's name otherwise.
func (l Look) FullName() string {
	if l == cameraOff || l == cameraUnknown {
		return "camera " + key[l].Name
	}
	return key[l].Name
}

// Looks yields every look but None.
func Looks(yield func(Look) bool) {
	for l := None + 1; l < lookCount; l++ {
		if !yield(l) {
			return
		}
	}
}

// LookCount is the number of looks, None included.
const LookCount = int(lookCount)

// Outcomes lists the looks of flicks: the wanted one, then the others.
var Outcomes = []Look{Toggled, Short, Long, double, Busy, off, wake, Unseen, ignored, waiting, Unknown, open}

// stateLook returns the look of a state of the camera.
func stateLook(s sim.State) Look {
	return map[sim.State]Look{
		sim.StateRecording: Recording, sim.StateStarting: starting, sim.StateStopping: stopping,
		sim.StateStandby: standby, sim.StateBooting: booting, sim.StateOff: cameraOff, sim.StateUnknown: cameraUnknown,
	}[s]
}

// Paper is a set of background and drawing colours: one light, one dark.
type Paper struct {
	Paper RGB
	Panel RGB // a box on the paper
	Ink   RGB // text and outlines
	Quiet RGB // secondary text
	Frame RGB // axes
	Grid  RGB // guide lines
	Alarm RGB // text about a loss
	Range RGB // where the channel presses
	Trace RGB // the channel's value
	// Series are the colours of series that are neither states nor outcomes.
	Series [4]RGB
	dark   bool
}

// Light and Dark are the two papers.
var (
	Light = Paper{
		Paper: 0xFFFFFF, Panel: 0xF3F5F4, Ink: 0x14202B, Quiet: 0x52606B, Frame: 0x727F89, Grid: 0xDCE1E4,
		Alarm: 0x9C2F1B, Range: 0xE2ECF4, Trace: 0x1F5F8B,
		Series: [4]RGB{0x1F5F8B, 0x8A5A00, 0x14202B, 0x6B4A9E},
	}
	Dark = Paper{
		Paper: 0x12191F, Panel: 0x1A242C, Ink: 0xF0F3F4, Quiet: 0xAAB6BF, Frame: 0x8494A0, Grid: 0x2F3A43,
		Alarm: 0xF59A83, Range: 0x1C3142, Trace: 0x7DB9E0, dark: true,
		Series: [4]RGB{0x7DB9E0, 0xE5B663, 0xF0F3F4, 0xB9A1E3},
	}
)

// Fill returns the colour of a look's areas on the paper.
func (p Paper) Fill(l Look) RGB {
	if p.dark {
		return key[l].Dark
	}
	return key[l].Light
}

// Line returns the colour of a look's lines: its fill, moved towards the ink
// until it contrasts with the paper (WCAG 2.1, 1.4.11: 3).
func (p Paper) Line(l Look) RGB { return p.Fill(l).towards(p.Ink, p.Paper, 3) }

// On returns the colour of text on a fill: whichever of the two contrasts more.
func (p Paper) On(fill RGB) RGB {
	if contrast(Light.Ink, fill) > contrast(Light.Paper, fill) {
		return Light.Ink
	}
	return Light.Paper
}

// Anywhere returns the colour of a look on a terminal with an unknown
// background: moved until it contrasts with both black and white.
func (l Look) Anywhere() RGB {
	const black, white RGB = 0x000000, 0xFFFFFF
	return key[l].Light.towards(black, white, 3).towards(white, black, 3)
}

// DashesOf returns the dash pattern of a look's line, as alternate lengths of
// dashes and gaps; nil for a solid line.
func DashesOf(l Look) []float64 {
	return map[Hatch][]float64{
		Rising: {6, 3}, Falling: {10, 3}, Cross: {2, 2}, Upright: {8, 2, 2, 2}, Level: {4, 4}, Dots: {1, 3},
	}[key[l].Hatch]
}
