package report

import (
	"fmt"
	"slices"
	"strings"

	"flicktally/sim/lanes"
)

// The key on the page: colours as variables of the style sheet, hatches as
// patterns, shapes as symbols, all from package lanes.

// class returns the class of a look's marks, shapeID and patternID the ids of its
// shape and its pattern.
func class(l lanes.Look) string     { return strings.ReplaceAll(l.FullName(), " ", "-") }
func shapeID(l lanes.Look) string   { return "shape-" + class(l) }
func patternID(l lanes.Look) string { return "fill-" + class(l) }

// sample explains a look in the legend of a chart.
type sample struct {
	Class, Shape, Name string // Shape is empty for an area
}

// keyOf returns the samples of the looks that a chart shows, except pressed, which
// names its lanes.
func keyOf(seen map[lanes.Look]bool) []sample {
	var all []sample
	for l := range lanes.Looks {
		if !seen[l] || l == lanes.Pressed {
			continue
		}
		s := sample{Class: class(l), Name: l.FullName()}
		if slices.Contains(lanes.Outcomes, l) {
			s.Shape = shapeID(l)
		}
		all = append(all, s)
	}
	return all
}

// keyStyle returns the part of the style sheet that follows from the key.
func keyStyle() string {
	var css strings.Builder
	fmt.Fprintf(&css, ":root {\n%s}\n", variables(lanes.Light))
	fmt.Fprintf(&css, "@media screen and (prefers-color-scheme: dark) {\n:root {\n%s}\n}\n", variables(lanes.Dark))
	for l := range lanes.Looks {
		name := class(l)
		fill := "var(--" + name + ")"
		if l.Entry().Hatch != lanes.Plain {
			fill = "url(#" + patternID(l) + ")"
			// A browser prints each use of a pattern as a picture. Printing a strip in each
			// of hundreds of rows took minutes and 130 MB, so only the emblem is hatched.
			fmt.Fprintf(&css, "@media print { .gauge .mark.%s { fill: var(--%s); } }\n", name, name)
		}
		fmt.Fprintf(&css, ".mark.%s { fill: %s; }\n.sign.%s, .sample.%s { fill: var(--%s); }\n", name, fill, name, name, name)
		fmt.Fprintf(&css, ".lines.%s { stroke: var(--on-%s); stroke-width: .8; fill: none; }\n", name, name)
		fmt.Fprintf(&css, ".inside.%s { fill: var(--on-%s); stroke: var(--%s); }\n", name, name, name)
	}
	css.WriteString(".hollow { fill: var(--paper); }\n.stroke { fill: none; stroke-width: 1.8; }\n")
	return css.String()
}

// variables returns the colours of a paper.
func variables(p lanes.Paper) string {
	var css strings.Builder
	add := func(name string, c lanes.RGB) { fmt.Fprintf(&css, "  --%s: %s;\n", name, c.Hex()) }
	add("paper", p.Paper)
	add("panel", p.Panel)
	add("ink", p.Ink)
	add("quiet", p.Quiet)
	add("frame", p.Frame)
	add("grid", p.Grid)
	add("alarm", p.Alarm)
	add("range", p.Range)
	add("trace", p.Trace)
	for l := range lanes.Looks {
		add(class(l), p.Fill(l))
		add("on-"+class(l), p.On(p.Fill(l)))
	}
	return css.String()
}

// pattern is a hatch on the colour of a look.
type pattern struct{ ID, Class, Path string }

// patterns returns the patterns of all looks with a hatch. A pattern is a
// square of 6 px.
func patterns() []pattern {
	var all []pattern
	for l := range lanes.Looks {
		if path := l.Entry().Hatch.Path(); path != "" {
			all = append(all, pattern{patternID(l), class(l), path})
		}
	}
	return all
}

// symbol is the shape of a look: paths in a box of [signSize] px around 0.
type symbol struct {
	ID    string
	Paths []symbolPath
}

type symbolPath struct{ Class, Path string }

// symbols returns the symbols of all looks with a shape.
func symbols() []symbol {
	var all []symbol
	for l := range lanes.Looks {
		if l.Entry().Shape == nil {
			continue
		}
		s := symbol{ID: shapeID(l)}
		for _, f := range l.Entry().Shape {
			s.Paths = append(s.Paths, figurePath(f))
		}
		all = append(all, s)
	}
	return all
}

func figurePath(f lanes.Figure) symbolPath {
	var path strings.Builder
	for i, p := range f.Points {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		fmt.Fprintf(&path, "%s%s %s", letter, coordinate(p.X*signSize/2), coordinate(-p.Y*signSize/2))
	}
	switch {
	case !f.Closed:
		return symbolPath{"stroke", path.String()}
	case f.Hollow:
		return symbolPath{"hollow", path.String() + "Z"}
	default:
		return symbolPath{"solid", path.String() + "Z"}
	}
}
