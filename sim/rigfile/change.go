package rigfile

import (
	"strconv"
	"strings"

	"flicktally/sim"
)

// ParseChange changes keys of a rig, which must be valid: "switch.settle=20ms;
// line.update = 4ms". A value other than a number, a list or a quoted text needs no
// quotes. name stands for the change in errors, which are those of [Parse].
func ParseChange(base sim.Rig, change, name string) (File, error) {
	return parseOnto(base, changeTOML(change), name)
}

// changeTOML turns "key=value; key=value" into lines of a rig file, with the
// missing quotes.
func changeTOML(change string) []byte {
	var toml strings.Builder
	for assignment := range strings.SplitSeq(change, ";") {
		key, value, found := strings.Cut(assignment, "=")
		value = strings.TrimSpace(value)
		if _, err := strconv.ParseFloat(value, 64); found && err != nil && !strings.ContainsAny(value, `["'`) {
			value = strconv.Quote(value)
		}
		toml.WriteString(strings.TrimSpace(key))
		if found {
			toml.WriteString(" = " + value)
		}
		toml.WriteByte('\n')
	}
	return []byte(toml.String())
}
