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

// String names the delimiter.
func (d Delimiter) String() string {
	switch d {
	case delimiterAuto:
		return "auto"
	case DelimiterComma:
		return "comma"
	case delimiterSemicolon:
		return "semicolon"
	case delimiterTab:
		return "tab"
	case delimiterBar:
		return "bar"
	case delimiterSpaces:
		return "spaces"
	}
	return fmt.Sprintf("%q", byte(d))
}

// ParseDelimiter reads a delimiter by its name or as the character itself.
func ParseDelimiter(text string) (Delimiter, error) {
	for _, d := range []Delimiter{delimiterAuto, DelimiterComma, delimiterSemicolon, delimiterTab, delimiterBar, delimiterSpaces} {
		if text == d.String() || text == string(rune(d)) {
			return d, nil
		}
	}
	return 0, fmt.Errorf("found %q, want auto, comma, semicolon, tab, bar or spaces", text)
}
