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

const (
	maxChannel = 18
	maxOutput  = 16
	// Channels 1 to 4 are the sticks: aux 1 is channel 5 (common practice).
	sticks = 4
)

// ParseLine reads "chan6", "#6", "aux2" (channel 6: the four sticks come
// first), "servo5", or "servo5@1" on port 1. The names of the standard's fields,
// "chan6_raw" and "servo5_raw", are read too; case and outer spaces do not
// count.
func ParseLine(text string) (Line, error) {
	name := strings.ToLower(strings.TrimSpace(text))
	name, port, hasPort := strings.Cut(name, "@")
	l := Line{}
	digits, isChannel := cutAny(name, "chan", "channel", "#")
	if !isChannel {
		if digits, isChannel = cutAny(name, "aux"); isChannel {
			l.Number = sticks
		}
	}
	most := maxChannel
	if !isChannel {
		digits, l.Output = cutAny(name, "servo")
		most = maxOutput
	}
	n, err := strconv.ParseUint(strings.TrimSuffix(digits, "_raw"), 10, 8)
	l.Number += int(n)
	ok := (isChannel || l.Output) && err == nil && n > 0 && l.Number <= most
	if hasPort {
		p, err := strconv.ParseUint(port, 10, 8)
		l.Port = int(p)
		ok = ok && err == nil && l.Output
	}
	if !ok {
		return Line{}, &LineError{text}
	}
	return l, nil
}

func cutAny(name string, prefixes ...string) (rest string, found bool) {
	for _, prefix := range prefixes {
		if rest, ok := strings.CutPrefix(name, prefix); ok && rest != "" && rest[0] >= '0' && rest[0] <= '9' {
			return rest, true
		}
	}
	return "", false
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

// carriers names the messages that speak of the line.
func (l Line) carriers() string {
	if l.Output {
		return "SERVO_OUTPUT_RAW"
	}
	return "RC_CHANNELS or RC_CHANNELS_RAW"
}

// LineError says that a name is none of a channel or an output.
type LineError struct{ Found string }

// Error writes what was found and what would be accepted.
func (e *LineError) Error() string {
	found := "no channel"
	if e.Found != "" {
		found = "channel " + strconv.Quote(e.Found)
	}
	return fmt.Sprintf("found %s, want a channel from chan1 to chan18 (aux1 is chan5), or an output from servo1 to servo16, servo1@1 on port 1", found)
}
