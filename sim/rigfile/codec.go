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
type codec struct {
	want  string               // what read accepts
	read  func(v value) *fault // sets the value
	write func() string        // returns the value as TOML
}

// scalar is a value that TOML has as a T.
func scalar[T any](p *T, want string, write func(T) string) codec {
	return codec{
		want: want,
		read: func(v value) *fault {
			data, ok := v.data.(T)
			if !ok {
				return v.unlike(want)
			}
			*p = data
			return nil
		},
		write: func() string { return write(*p) },
	}
}

func text(p *string) codec { return scalar(p, "text in quotes", quote) }

func yesNo(p *bool) codec { return scalar(p, "true or false", strconv.FormatBool) }

// number is an integer or a float.
func number[T ~float64](p *T) codec {
	const want = "a number"
	return codec{
		want: want,
		read: func(v value) *fault {
			switch data := v.data.(type) {
			case int64:
				*p = T(data)
			case float64:
				*p = T(data)
			default:
				return v.unlike(want)
			}
			return nil
		},
		write: func() string { return formatNumber(float64(*p)) },
	}
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

// choice is a word from a fixed list.
func choice[T ~string](p *T, accepted []T) codec {
	var words []string
	for _, word := range accepted {
		words = append(words, quote(string(word)))
	}
	want := "one of " + strings.Join(words, ", ")
	return codec{
		want: want,
		read: func(v value) *fault {
			s, ok := v.data.(string)
			if !ok {
				return v.unlike(want)
			}
			if !slices.Contains(accepted, T(s)) {
				wrong := v.unlike(want)
				wrong.hint = didYouMean(quote(s), words)
				return wrong
			}
			*p = T(s)
			return nil
		},
		write: func() string { return quote(string(*p)) },
	}
}

// logScale is a number or the name of a common scale.
func logScale(spec *sim.LogSpec) codec {
	factor, name := number(&spec.Scale), choice(&spec.ScaleName, sim.ScaleNames)
	want := "a number, or " + name.want
	return codec{
		want: want,
		read: func(v value) *fault {
			c := factor
			if _, isText := v.data.(string); isText {
				c = name
			}
			wrong := c.read(v)
			if wrong != nil {
				wrong.text = v.unlike(want).text
			}
			return wrong
		},
		write: func() string {
			if spec.ScaleName != "" {
				return name.write()
			}
			return factor.write()
		},
	}
}

// pair is an array of two values.
func pair(want string, first, second codec) codec {
	return codec{
		want: want,
		read: func(v value) *fault {
			elements, _ := v.elements()
			if len(elements) != 2 {
				return v.unlike(want)
			}
			if wrong := first.read(elements[0]); wrong != nil {
				return wrong
			}
			return second.read(elements[1])
		},
		write: func() string { return "[" + first.write() + ", " + second.write() + "]" },
	}
}

// list is an array of values, each with the codec that of returns.
func list[T any](p *[]T, want string, of func(*T) codec) codec {
	return codec{
		want: want,
		read: func(v value) *fault {
			elements, ok := v.elements()
			if !ok {
				return v.unlike(want)
			}
			*p = nil
			for _, element := range elements {
				var one T
				if wrong := of(&one).read(element); wrong != nil {
					return wrong
				}
				*p = append(*p, one)
			}
			return nil
		},
		write: func() string {
			var elements []string
			for _, one := range *p {
				elements = append(elements, of(&one).write())
			}
			return "[" + strings.Join(elements, ", ") + "]"
		},
	}
}

func texts(p *[]string) codec {
	return list(p, `a list of texts in quotes, such as ["on", "cam"]`, text)
}

func pulseRange(p *sim.PulseRange) codec {
	return pair("two pulse widths in µs, such as [750, 2250]", number(&p.Low), number(&p.High))
}

func pulseRanges(p *[]sim.PulseRange) codec {
	return list(p, "a list of ranges in µs, such as [[1250, 2250]]", func(r *sim.PulseRange) codec {
		c := pulseRange(r)
		read := c.read
		c.read = func(v value) *fault {
			if _, isArray := v.elements(); isArray {
				return read(v)
			}
			wrong := v.unlike("a range such as [1250, 2250]")
			wrong.hint = "a list of ranges needs brackets of its own: [[1250, 2250]]"
			return wrong
		}
		return c
	})
}

const wantDuration = `a duration in quotes with its unit, such as "80ms" or "1.2s"`

func duration(p *sim.Micros) codec {
	return codec{
		want:  wantDuration,
		read:  func(v value) *fault { return readDuration(v, p, wantDuration) },
		write: func() string { return quote(p.String()) },
	}
}

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
func optionalDuration(p *sim.Micros) codec {
	const want = wantDuration + `, or "" for never`
	return codec{
		want: want,
		read: func(v value) *fault {
			if v.data == "" {
				*p = sim.Never
				return nil
			}
			return readDuration(v, p, want)
		},
		write: func() string {
			if *p == sim.Never {
				return `""`
			}
			return quote(p.String())
		},
	}
}

// interval is a duration, or an array of the shortest and the longest it may
// be.
func interval(p *sim.Interval) codec {
	const want = wantDuration + `, or a range of two, ["60ms", "110ms"]`
	both := pair(want, duration(&p.Low), duration(&p.High))
	return codec{
		want: want,
		read: func(v value) *fault {
			if _, isArray := v.elements(); isArray {
				return both.read(v)
			}
			wrong := readDuration(v, &p.Low, want)
			p.High = p.Low
			return wrong
		},
		write: func() string {
			if p.Exact() {
				return quote(p.Low.String())
			}
			return both.write()
		},
	}
}
