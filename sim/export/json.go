package export

import (
	"encoding/json"
	"io"
	"math"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// schema is the version of all JSON: keys keep their names and meaning, and new
// ones may be added.
const schema = 1

// newJSON returns the encoder for all JSON: indented, unprintable characters
// escaped.
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

// each maps a slice. The result is not nil, so that an empty one is [] in JSON.
func each[From, To any](list []From, f func(From) To) []To {
	mapped := make([]To, len(list))
	for i, v := range list {
		mapped[i] = f(v)
	}
	return mapped
}

// optional is a time that the tag omitzero leaves out if it is Never.
type optional sim.Micros

func (m optional) IsZero() bool { return sim.Micros(m) == sim.Never }

// orNull returns a time to be written as null if it is Never.
func orNull(m sim.Micros) *sim.Micros {
	if m == sim.Never {
		return nil
	}
	return &m
}

// aimOf returns the hold to aim for, left out if the hold does not matter.
func aimOf(rig sim.Rig) optional {
	if aim, ok := rig.Aim(); ok {
		return optional(aim)
	}
	return optional(sim.Never)
}

// sixDigits rounds away digits that differ between machines.
func sixDigits(v float64) float64 { return math.Round(v*1e6) / 1e6 }
