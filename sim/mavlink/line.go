package mavlink

import (
	"fmt"
	"strconv"
	"strings"
)

// Line is what to read: a channel of the receiver, or an output of the flight
// controller.
type Line struct {
	Output bool
	Number int // from 1; at most 18 channels, 16 outputs of a port
	Port   int // of an output; the standard counts them from 0
}

// lineForms are the forms of a line's name: a prefix and a number. Channels 1
// to 4 are the sticks, so that aux 1 is channel 5 (common practice).
var lineForms = []struct {
	prefix string
	output bool
	skip   int // offset to add to the number
	most   int
}{
	{prefix: "chan", most: 18},
	{prefix: "channel", most: 18},
	{prefix: "ch", most: 18},
	{prefix: "", most: 18},
	{prefix: "#", most: 18},
	{prefix: "aux", skip: 4, most: 14},
	{prefix: "servo", output: true, most: 16},
}

// ParseLine reads "chan6", "ch6", "#6", "6", "aux2" (channel 6), "servo5", or
// "servo5@1" on port 1. The names of the standard's fields, "chan6_raw" and
// "servo5_raw", are read too; case and outer spaces are ignored. The error is a
// [*LineError].
func ParseLine(text string) (Line, error) {
	if l, ok := parseLine(text); ok {
		return l, nil
	}
	bare := strings.NewReplacer(" ", "", "_", "", "-", "", ".", "", ":", "", "rc", "ch", "output", "servo", "out", "servo").Replace(strings.ToLower(text))
	near, _ := parseLine(bare)
	return Line{}, &LineError{Found: text, Near: near}
}

func parseLine(text string) (Line, bool) {
	name := strings.TrimSuffix(strings.ToLower(strings.TrimSpace(text)), "_raw")
	name, port, hasPort := strings.Cut(name, "@")
	for _, form := range lineForms {
		digits, is := strings.CutPrefix(name, form.prefix)
		n, err := strconv.ParseUint(digits, 10, 8)
		if !is || err != nil || n < 1 || int(n) > form.most || hasPort && !form.output {
			continue
		}
		l := Line{Output: form.output, Number: form.skip + int(n)}
		if hasPort {
			p, err := strconv.ParseUint(port, 10, 8)
			if err != nil {
				continue
			}
			l.Port = int(p)
		}
		return l, true
	}
	return Line{}, false
}

// String writes "chan6", "servo5" or "servo5@1".
func (l Line) String() string {
	switch {
	case !l.Output:
		return "chan" + strconv.Itoa(l.Number)
	case l.Port == 0:
		return "servo" + strconv.Itoa(l.Number)
	default:
		return "servo" + strconv.Itoa(l.Number) + "@" + strconv.Itoa(l.Port)
	}
}

// carriers names the messages that carry the line.
func (l Line) carriers() string {
	if l.Output {
		return "SERVO_OUTPUT_RAW"
	}
	return "RC_CHANNELS or RC_CHANNELS_RAW"
}

// LineError says that a name is neither a channel nor an output.
type LineError struct {
	Found string
	Near  Line // the likely intended line; zero if none is close
}

// Error writes what was found and what would be accepted.
func (e *LineError) Error() string {
	found := "no channel"
	if e.Found != "" {
		found = "channel " + strconv.Quote(e.Found)
	}
	text := fmt.Sprintf("found %s, want a channel from chan1 to chan18 (ch5, 5 and aux1 are chan5), or an output from servo1 to servo16, servo1@1 on port 1", found)
	if e.Near.Number > 0 {
		text += fmt.Sprintf("; try %s", e.Near)
	}
	return text
}
