package term

import "strings"

// Print returns the program's picture as lines of text, for use without a screen.
func Print(p Program, width, height int, glyphs *Glyphs) string {
	p.Handle(ResizeEvent{Width: width, Height: height})
	canvas := NewCanvas(width, height, glyphs)
	p.Draw(canvas)
	return strings.TrimRight(canvas.String(), "\n") + "\n"
}

// GlyphsFor returns the glyphs for a character set such as "UTF-8" or
// "US-ASCII"; anything but UTF-8 gets ASCII.
func GlyphsFor(charset string) *Glyphs {
	switch strings.ToUpper(charset) {
	case "UTF-8", "UTF8":
		return unicodeGlyphs
	default:
		return asciiGlyphs
	}
}

// Charset returns the character set of the locale: of the first of LC_ALL, LC_CTYPE
// and LANG that is set (POSIX). A locale that names none is taken for UTF-8.
func Charset(getenv func(string) string) string {
	locale := ""
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if locale = getenv(name); locale != "" {
			break
		}
	}
	if locale == "C" || locale == "POSIX" {
		return "US-ASCII"
	}
	locale, _, _ = strings.Cut(locale, "@")
	if _, charset, named := strings.Cut(locale, "."); named {
		return charset
	}
	return "UTF-8"
}
