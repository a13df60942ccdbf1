package term

import (
	"unicode"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim/lanes"
)

// Role is the purpose of a cell, for which the session has a style that the terminal
// can show. A character or a word always says the same as the role.
type Role uint8

// The roles.
const (
	Plain     Role = iota
	Dim            // labels, rulers
	Strong         // what to look at
	Pressed        // the button or switch is pressed
	Recording      // the camera records
	armed          // the craft is armed
	Problem        // something is wrong, or may be
	Pointer        // the cursor and the marks
	Right          // done correctly
	roleCount
)

// RoleOf returns the role of a look of the key.
func RoleOf(l lanes.Look) Role { return roleCount + Role(l) }

// styles has a style for every role, then for every look.
type styles [int(roleCount) + lanes.LookCount]tcell.Style

// looksOf has the looks from which some roles take their colours.
var looksOf = map[Role]lanes.Look{
	Pressed: lanes.Pressed, Recording: lanes.Recording, armed: lanes.Armed, Problem: lanes.Short, Right: lanes.Toggled,
}

// stylesFor returns the styles for a terminal with a number of colours. The
// terminal chooses the background, so each colour must be legible on white and on
// black.
func stylesFor(colours int) styles {
	var s styles
	for role := range s {
		s[role] = tcell.StyleDefault
	}
	for _, role := range []Role{Strong, Recording, Problem, Pointer, Right} {
		s[role] = s[role].Bold(true)
	}
	paint := func(role Role, look lanes.Look) {
		switch basic := look.Entry().Basic; {
		case colours >= 256:
			s[role] = s[role].Foreground(tcell.NewHexColor(int32(look.Anywhere())))
		case colours >= 8 && basic >= 0:
			s[role] = s[role].Foreground(tcell.PaletteColor(basic))
		}
	}
	for role, look := range looksOf {
		paint(role, look)
	}
	for look := range lanes.Looks {
		paint(RoleOf(look), look)
	}
	if colours >= 256 {
		s[Dim] = s[Dim].Foreground(tcell.NewHexColor(int32(lanes.Light.Frame)))
		s[Pointer] = s[Pointer].Foreground(tcell.NewHexColor(int32(lanes.Light.Trace)))
	}
	return s
}

func (s *styles) style(cell Cell) tcell.Style { return s[cell.Role].Reverse(cell.Reverse) }

// Glyphs are the characters of a picture, in Unicode or in ASCII.
type Glyphs struct {
	ASCII bool // the terminal shows only ASCII, in text too

	Levels [levelCount]string      // of bars, from the lowest to a full cell
	Shades [lanes.ToneCount]string // by the tone of the key

	// A two-valued lane within a cell: off; on or off from an edge in its first,
	// second or last third; more edges than can be shown.
	Low        string
	Rise, Fall [3]string
	Brief      string // on within the cell only
	Gap        string // off within the cell only
	Several    string

	Absent     string // no value
	Between    string // from the lowest to the highest value within a column
	Limit      string // a threshold
	Cursor     string
	CursorHead string
	Mark       string
	Tick       string
	Selected   string
	Ellipsis   string

	LightOn, LightOff string    // of the tally
	Pixels            [4]string // of two, one above the other: none, the upper, the lower, both
}

// levelCount is the number of steps of a bar within a cell.
const levelCount = 8

// unicodeGlyphs are for terminals that show UTF-8.
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

// cannotShow reports whether a character of a text must be replaced, because the
// terminal cannot show it or would act on it.
func (g *Glyphs) cannotShow(r rune) bool {
	return !unicode.IsGraphic(r) || g.ASCII && r > unicode.MaxASCII
}
