package vcd

import (
	"strconv"
	"strings"
)

// instant is a time of the dump, in its own units. It may be before 0.
type instant struct {
	before bool   // 0
	size   uint64 // distance from 0
}

// parseInstant reads the digits after a #.
func parseInstant(text string) (instant, error) {
	digits, before := strings.CutPrefix(text, "-")
	size, err := strconv.ParseUint(digits, 10, 64)
	return instant{before && size > 0, size}, err
}

func (i instant) isBefore(other instant) bool {
	if i.before && other.before {
		return i.size > other.size
	}
	return i.before || !other.before && i.size < other.size
}

// since returns the units of time from an earlier or equal instant. ok is false
// on overflow.
func (i instant) since(earlier instant) (units uint64, ok bool) {
	if i.before == earlier.before {
		return max(i.size, earlier.size) - min(i.size, earlier.size), true
	}
	units = i.size + earlier.size
	return units, units >= i.size
}

// String writes the time as in a dump.
func (i instant) String() string {
	sign := ""
	if i.before {
		sign = "-"
	}
	return "#" + sign + strconv.FormatUint(i.size, 10)
}
