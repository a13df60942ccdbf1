package chanlog

import "fmt"

// Delimiter is the byte between fields.
type Delimiter byte

// The delimiters. The zero value lets the reader find out.
const (
	DelimiterAuto      Delimiter = 0
	DelimiterComma     Delimiter = ','
	DelimiterSemicolon Delimiter = ';'
	DelimiterTab       Delimiter = '\t'
	DelimiterBar       Delimiter = '|'
	DelimiterSpaces    Delimiter = ' ' // any number of them
)

// String names the delimiter.
func (d Delimiter) String() string {
	switch d {
	case DelimiterAuto:
		return "auto"
	case DelimiterComma:
		return "comma"
	case DelimiterSemicolon:
		return "semicolon"
	case DelimiterTab:
		return "tab"
	case DelimiterBar:
		return "bar"
	case DelimiterSpaces:
		return "spaces"
	}
	return fmt.Sprintf("%q", byte(d))
}

// ParseDelimiter reads a delimiter by its name or as the character itself.
func ParseDelimiter(text string) (Delimiter, error) {
	for _, d := range []Delimiter{DelimiterAuto, DelimiterComma, DelimiterSemicolon, DelimiterTab, DelimiterBar, DelimiterSpaces} {
		if text == d.String() || text == string(rune(d)) {
			return d, nil
		}
	}
	return 0, fmt.Errorf("found %q, want auto, comma, semicolon, tab, bar or spaces", text)
}
