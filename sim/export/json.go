package export

import (
	"encoding/json"
	"io"
	"math"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// schema is the version of all JSON: keys keep their names and meaning, and more
// may be added.
const schema = 1

// newJSON returns the encoder for all JSON: indented, with unprintable
// characters escaped.
func newJSON(w io.Writer) *json.Encoder {
	encoder := json.NewEncoder(excerpt.JSON(w))
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder
}

// encodeAll writes one object, or an array if there are several.
func encodeAll[T any](w io.Writer, objects []T) error {
	if len(objects) == 1 {
		return newJSON(w).Encode(objects[0])
	}
	return newJSON(w).Encode(objects)
}

// encodeLine writes an object on one line.
func encodeLine(w io.Writer, object any) error {
	encoder := newJSON(w)
	encoder.SetIndent("", "")
	return encoder.Encode(object)
}

// each maps a slice; the result is never nil, so that JSON shows it as [].
func each[From, To any](list []From, f func(From) To) []To {
	mapped := make([]To, len(list))
	for i, v := range list {
		mapped[i] = f(v)
	}
	return mapped
}

// unlessNever returns a time, nil for Never.
func unlessNever(m sim.Micros) *sim.Micros {
	if m == sim.Never {
		return nil
	}
	return &m
}

// sixDigits rounds away digits that differ between machines.
func sixDigits(v float64) float64 { return math.Round(v*1e6) / 1e6 }
