package rigfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"flicktally/sim"
)

// codec moves one value between a rig and its TOML form.
type codec interface {
	// read sets the value from a document; on failure it changes nothing.
	read(v value) *fault
	// write returns the value as TOML.
	write() string
	// want describes what read accepts.
	want() string
}

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

// pair returns the two values of an array of two.
func (v value) pair() (first, second value, ok bool) {
	elements, _ := v.elements()
	if len(elements) != 2 {
		return value{}, value{}, false
	}
	return elements[0], elements[1], true
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

// text is any string.
type text struct{ p *string }

func (c text) want() string  { return "a text in quotes" }
func (c text) write() string { return quote(*c.p) }
func (c text) read(v value) *fault {
	s, ok := v.data.(string)
	if !ok {
		return v.unlike(c.want())
	}
	*c.p = s
	return nil
}

// texts is a list of strings.
type texts struct{ p *[]string }

func (c texts) want() string { return `a list of texts in quotes, such as ["on", "cam"]` }

func (c texts) write() string {
	var quoted []string
	for _, s := range *c.p {
		quoted = append(quoted, quote(s))
	}
	return "[" + strings.Join(quoted, ", ") + "]"
}

func (c texts) read(v value) *fault {
	return readList(v, c.want(), c.p, func(element value, s *string) *fault { return text{s}.read(element) })
}

// readList reads an array, each element with read.
func readList[T any](v value, want string, list *[]T, read func(element value, into *T) *fault) *fault {
	elements, ok := v.elements()
	if !ok {
		return v.unlike(want)
	}
	var all []T
	for _, element := range elements {
		var one T
		if wrong := read(element, &one); wrong != nil {
			return wrong
		}
		all = append(all, one)
	}
	*list = all
	return nil
}

// logScale is a number or the name of a common scale.
type logScale struct{ spec *sim.LogSpec }

func (c logScale) name() choice[sim.ScaleName] {
	return choice[sim.ScaleName]{&c.spec.ScaleName, sim.ScaleNames}
}

func (c logScale) want() string { return "a number, or " + c.name().want() }

func (c logScale) write() string {
	if c.spec.ScaleName != "" {
		return c.name().write()
	}
	return formatNumber(c.spec.Scale)
}

func (c logScale) read(v value) *fault {
	wrong := (number[float64]{&c.spec.Scale}).read(v)
	if _, isText := v.data.(string); isText {
		wrong = c.name().read(v)
	}
	if wrong != nil {
		wrong.text = v.unlike(c.want()).text
		return wrong
	}
	return nil
}

// choice is a word from a fixed list.
type choice[T ~string] struct {
	p        *T
	accepted []T
}

func (c choice[T]) want() string  { return "one of " + strings.Join(c.quoted(), ", ") }
func (c choice[T]) write() string { return quote(string(*c.p)) }

func (c choice[T]) quoted() []string {
	var words []string
	for _, word := range c.accepted {
		words = append(words, quote(string(word)))
	}
	return words
}

func (c choice[T]) read(v value) *fault {
	s, ok := v.data.(string)
	if !ok {
		return v.unlike(c.want())
	}
	if !slices.Contains(c.accepted, T(s)) {
		wrong := v.unlike(c.want())
		wrong.hint = didYouMean(quote(s), c.quoted())
		return wrong
	}
	*c.p = T(s)
	return nil
}

// number is an integer or a float.
type number[T ~float64] struct{ p *T }

func (c number[T]) want() string  { return "a number" }
func (c number[T]) write() string { return formatNumber(float64(*c.p)) }
func (c number[T]) read(v value) *fault {
	switch data := v.data.(type) {
	case int64:
		*c.p = T(data)
	case float64:
		*c.p = T(data)
	default:
		return v.unlike(c.want())
	}
	return nil
}

// yesNo is true or false.
type yesNo struct{ p *bool }

func (c yesNo) want() string  { return "true or false" }
func (c yesNo) write() string { return strconv.FormatBool(*c.p) }
func (c yesNo) read(v value) *fault {
	b, ok := v.data.(bool)
	if !ok {
		return v.unlike(c.want())
	}
	*c.p = b
	return nil
}

// formatNumber writes a finite number: a whole one as a TOML integer while both
// types represent it exactly.
func formatNumber(f float64) string {
	const exact = 1 << 53
	if f == math.Trunc(f) && math.Abs(f) <= exact {
		return strconv.FormatInt(int64(f), 10)
	}
	return strconv.FormatFloat(f, 'g', -1, 64)
}

// pulseRange is an array of two pulse widths.
type pulseRange struct{ p *sim.PulseRange }

func (c pulseRange) want() string  { return "two pulse widths in µs, such as [750, 2250]" }
func (c pulseRange) write() string { return formatRange(*c.p) }
func (c pulseRange) read(v value) *fault {
	low, high, ok := v.pair()
	if !ok {
		return v.unlike(c.want())
	}
	var r sim.PulseRange
	if wrong := (number[sim.PulseWidth]{&r.Low}).read(low); wrong != nil {
		return wrong
	}
	if wrong := (number[sim.PulseWidth]{&r.High}).read(high); wrong != nil {
		return wrong
	}
	*c.p = r
	return nil
}

func formatRange(r sim.PulseRange) string {
	return "[" + formatNumber(float64(r.Low)) + ", " + formatNumber(float64(r.High)) + "]"
}

// pulseRanges is an array of ranges.
type pulseRanges struct{ p *[]sim.PulseRange }

func (c pulseRanges) want() string { return "a list of ranges in µs, such as [[1250, 2250]]" }

func (c pulseRanges) write() string {
	var ranges []string
	for _, r := range *c.p {
		ranges = append(ranges, formatRange(r))
	}
	return "[" + strings.Join(ranges, ", ") + "]"
}

func (c pulseRanges) read(v value) *fault {
	return readList(v, c.want(), c.p, func(element value, r *sim.PulseRange) *fault {
		if _, isArray := element.elements(); !isArray {
			wrong := element.unlike("a range such as [1250, 2250]")
			wrong.hint = "a list of ranges has brackets of its own: [[1250, 2250]]"
			return wrong
		}
		return pulseRange{r}.read(element)
	})
}

// duration is a length of time in quotes.
type duration struct{ p *sim.Micros }

func (c duration) want() string {
	return `a duration in quotes with its unit, such as "80ms" or "1.2s"`
}

func (c duration) write() string { return quote(c.p.String()) }

func (c duration) read(v value) *fault { return readDuration(v, c.p, c.want()) }

// readDuration reads a duration; want describes all that the key takes.
func readDuration(v value, p *sim.Micros, want string) *fault {
	s, ok := v.data.(string)
	if !ok {
		wrong := v.unlike(want)
		wrong.hint = unitHint(v.found())
		return wrong
	}
	m, err := sim.ParseDuration(s)
	if err != nil {
		return &fault{path: v.path, text: err.Error(), hint: unitHint(s)}
	}
	*p = m
	return nil
}

// unitHint shows how to write a number without a unit as a duration.
func unitHint(bare string) string {
	if _, err := sim.ParseDuration(bare + "ms"); err != nil {
		return ""
	}
	return fmt.Sprintf("write %q for milliseconds, %q for seconds", bare+"ms", bare+"s")
}

// optionalDuration is a duration or "", which stands for never.
type optionalDuration struct{ p *sim.Micros }

func (c optionalDuration) want() string { return duration{}.want() + `, or "" for never` }

func (c optionalDuration) write() string {
	if *c.p == sim.Never {
		return `""`
	}
	return duration(c).write()
}

func (c optionalDuration) read(v value) *fault {
	if v.data == "" {
		*c.p = sim.Never
		return nil
	}
	return readDuration(v, c.p, c.want())
}

// interval is a duration, or an array of the shortest and the longest it may
// be.
type interval struct{ p *sim.Interval }

func (c interval) want() string { return duration{}.want() + `, or a range of two, ["60ms", "110ms"]` }

func (c interval) write() string {
	if c.p.Exact() {
		return duration{&c.p.Low}.write()
	}
	return "[" + duration{&c.p.Low}.write() + ", " + duration{&c.p.High}.write() + "]"
}

func (c interval) read(v value) *fault {
	if _, isArray := v.elements(); !isArray {
		var m sim.Micros
		if wrong := readDuration(v, &m, c.want()); wrong != nil {
			return wrong
		}
		*c.p = sim.Exactly(m)
		return nil
	}
	low, high, ok := v.pair()
	if !ok {
		return v.unlike(c.want())
	}
	var i sim.Interval
	if wrong := (duration{&i.Low}).read(low); wrong != nil {
		return wrong
	}
	if wrong := (duration{&i.High}).read(high); wrong != nil {
		return wrong
	}
	*c.p = i
	return nil
}
