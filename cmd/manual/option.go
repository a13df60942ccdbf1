package manual

import (
	"strings"

	"github.com/spf13/pflag"

	"flicktally/sim/excerpt"
)

// OptionText returns the text of one option, in lines of at most width columns:
// its name and value, then its meaning.
func OptionText(flag *pflag.Flag, width int) string {
	value, usage := optionValue(flag)
	name := "  --" + flag.Name
	if flag.Shorthand != "" {
		name = "  -" + flag.Shorthand + ", --" + flag.Name
	}
	if value != "" {
		name += " " + value
	}
	const column = 26
	if len(name) > column-2 {
		name += "\n"
	}
	text := excerpt.Wrap(strings.Repeat(" ", column), usage+defaultText(flag), width)
	if strings.HasSuffix(name, "\n") {
		return name + text
	}
	return name + text[len(name):]
}

// optionValue returns the name of a flag's value, "" if it takes none, and its
// meaning.
func optionValue(flag *pflag.Flag) (value, usage string) {
	value, usage = pflag.UnquoteUsage(flag)
	switch value {
	case "":
	case "int", "uint", "uint8", "uint32", "uint64", "float":
		value = "NUMBER"
	case "string":
		value = "NAME"
	case "strings":
		value = "LIST"
	default:
		if value == strings.ToLower(value) {
			value = strings.ToUpper(value)
		}
	}
	return value, usage
}

// defaultText returns a flag's default, if any.
func defaultText(f *pflag.Flag) string {
	switch f.DefValue {
	case "", "false", "0", "[]":
		return ""
	default:
		return " (default " + f.DefValue + ")"
	}
}
