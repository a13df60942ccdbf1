package term

import (
	"unicode"

	"github.com/gdamore/tcell/v2"
)

// Role says what a cell is for; the session gives each role a style that the
// terminal can show. A role never carries meaning alone: a character or a word
// says the same.
type Role uint8

// The roles.
const (
	Plain     Role = iota
	Dim            // labels, rulers
	Strong         // what to look at
	Pressed        // the button or switch is pressed
	Recording      // the camera records
	Armed          // the craft is armed
	Problem        // something is wrong, or may be
	Pointer        // the cursor and the marks
	Right          // done as it was to be
	roleCount
)

// styles gives every role a style.
type styles [roleCount]tcell.Style

// stylesFor returns the styles for a terminal with so many colours. Backgrounds
// are left to the terminal, so each colour must read on white and on black.
func stylesFor(colours int) styles {
	plain := tcell.StyleDefault
	s := styles{
		Plain: plain, Dim: plain, Strong: plain.Bold(true),
		Pressed: plain, Recording: plain.Bold(true), Armed: plain,
		Problem: plain.Bold(true), Pointer: plain.Bold(true), Right: plain.Bold(true),
	}
	colour := func(role Role, c tcell.Color) { s[role] = s[role].Foreground(c) }
	switch {
	case colours >= 256:
		// Okabe and Ito's colour-blind-safe set, those of its colours that reach
		// a contrast of 3 on white as well as on black.
		colour(Dim, tcell.NewHexColor(0x767676))
		colour(Pressed, tcell.NewHexColor(0x0072B2))
		colour(Recording, tcell.NewHexColor(0xD55E00))
		colour(Armed, tcell.NewHexColor(0x009E73))
		colour(Problem, tcell.NewHexColor(0xD55E00))
		colour(Pointer, tcell.NewHexColor(0x009E73))
		colour(Right, tcell.NewHexColor(0x009E73))
	case colours >= 8:
		colour(Pressed, tcell.ColorTeal)
		colour(Recording, tcell.ColorMaroon)
		colour(Armed, tcell.ColorGreen)
		colour(Problem, tcell.ColorMaroon)
		colour(Pointer, tcell.ColorGreen)
		colour(Right, tcell.ColorGreen)
	}
	return s
}

// style returns the style of a cell.
func (s *styles) style(cell Cell) tcell.Style { return s[cell.Role].Reverse(cell.Reverse) }

// Shade is the filling of a named stretch: what tells it apart without colour.
type Shade uint8

// The shades.
const (
	Clear Shade = iota
	Dotted
	Light
	Dense
	Solid
	Questioned // nothing is known
	shadeCount
)

// Glyphs are the characters of a picture, for terminals that show Unicode and
// for those that show ASCII only.
type Glyphs struct {
	ASCII bool // whether text must be ASCII too

	Levels [levelCount]string // of bars, from the lowest to a full cell
	Shades [shadeCount]string

	// A level within a column: at rest; an edge in the first, second or last
	// third of it, on or off from there; more edges than can be shown.
	Low        string
	Rise, Fall [3]string
	Brief      string // on within the cell only
	Gap        string // off within the cell only
	Several    string

	Absent     string // no value
	Between    string // from the lowest to the highest value within the column
	Limit      string // a threshold
	Cursor     string
	CursorHead string
	Mark       string
	Tick       string
	Selected   string
	Ellipsis   string

	LightOn, LightOff string    // of the tally
	Pixels            [4]string // two, one above the other: none, the upper, the lower, both
}

// levelCount is the number of steps of a bar within a cell.
const levelCount = 8

// unicodeGlyphs are for terminals that show blocks and lines.
var unicodeGlyphs = &Glyphs{
	Levels: [...]string{"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"},
	Shades: [...]string{" ", "·", "░", "▓", "█", "?"},
	Low:    "▁",
	Rise:   [...]string{"█", "▐", "▕"}, Fall: [...]string{"▏", "▌", "█"},
	Brief: "┃", Gap: "┇", Several: "▒",
	Absent: "╳", Between: "░", Limit: "┄",
	Cursor: "│", CursorHead: "▼", Mark: "┊", Tick: "╷", Selected: "▸", Ellipsis: "…",
	LightOn: "●", LightOff: "○", Pixels: [...]string{" ", "▀", "▄", "█"},
}

// asciiGlyphs are for all others.
var asciiGlyphs = &Glyphs{
	ASCII:  true,
	Levels: [...]string{"_", "_", "-", "-", "=", "=", "#", "#"},
	Shades: [...]string{" ", ".", "+", "%", "#", "?"},
	Low:    "_",
	Rise:   [...]string{"#", "#", "|"}, Fall: [...]string{"|", "#", "#"},
	Brief: "|", Gap: ":", Several: "%",
	Absent: "x", Between: ":", Limit: "-",
	Cursor: "|", CursorHead: "V", Mark: ":", Tick: "'", Selected: ">", Ellipsis: "~",
	LightOn: "*", LightOff: "o", Pixels: [...]string{" ", "'", ".", "#"},
}

// cannotShow reports whether a character of a text must be replaced: because the
// terminal lacks it, or would act on it.
func (g *Glyphs) cannotShow(r rune) bool {
	return !unicode.IsGraphic(r) || g.ASCII && r > unicode.MaxASCII
}
