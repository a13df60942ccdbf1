package rigfile

import (
	"fmt"
	"strconv"
)

// value is a decoded TOML value and the path by which the document knows its
// place: "switch.press", "switch.press[0][1]".
type value struct {
	path string
	data any
}

// elements returns the values of an array.
func (v value) elements() (elements []value, ok bool) {
	array, ok := v.data.([]any)
	for i, data := range array {
		elements = append(elements, value{elementPath(v.path, i), data})
	}
	return elements, ok
}

// found describes the value for an error.
func (v value) found() string {
	switch data := v.data.(type) {
	case string:
		return quote(data)
	case int64, bool:
		return fmt.Sprint(data)
	case float64:
		return strconv.FormatFloat(data, 'g', -1, 64)
	case []any:
		return fmt.Sprintf("an array of %d", len(data))
	case map[string]any:
		return "a table"
	default: // TOML's only other values
		return "a date or time"
	}
}

// unlike returns the fault of a value of the wrong kind.
func (v value) unlike(want string) *fault {
	return &fault{path: v.path, text: fmt.Sprintf("found %s, want %s", v.found(), want)}
}
