package chanlog

import "fmt"

// Delimiter is the byte between fields.
type Delimiter byte

// The delimiters. With the zero value the reader detects it.
const (
	delimiterAuto      Delimiter = 0
	DelimiterComma     Delimiter = ','
	delimiterSemicolon Delimiter = ';'
	delimiterTab       Delimiter = '\t'
	delimiterBar       Delimiter = '|'
	delimiterSpaces    Delimiter = ' ' // any number of them
)

var delimiterNames = map[Delimiter]string{
	delimiterAuto: "auto", DelimiterComma: "comma", delimiterSemicolon: "semicolon",
	delimiterTab: "tab", delimiterBar: "bar", delimiterSpaces: "spaces",
}

// String names the delimiter.
func (d Delimiter) String() string {
	if name, ok := delimiterNames[d]; ok {
		return name
	}
	return fmt.Sprintf("%q", byte(d))
}

// ParseDelimiter reads a delimiter by its name or as the character itself.
func ParseDelimiter(text string) (Delimiter, error) {
	for d, name := range delimiterNames {
		if text == name || text == string(rune(d)) {
			return d, nil
		}
	}
	return 0, fmt.Errorf("found %q, want auto, comma, semicolon, tab, bar or spaces", text)
}
