package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// owned is an answer that one place of the source gives. Code elsewhere that
// looks as if it gave the answer again is a second place.
type owned struct {
	answer string
	owners []string // folders or files; what lies below a folder is not its own
	second func(*ast.File) []ast.Node
}

// answers lists what has one place, and what else may look like it.
var answers = []owned{
	{"what a hold does", []string{
		"sim", "sim/belief", "sim/fit", "sim/odds", "sim/tell", "sim/lanes", "sim/live", "sim/rigcheck",
		"sim/flight/window.go", "sim/season/evidence.go", "plot/figures/window.go",
	}, thresholdComparisons},
	{"the hold to aim for", []string{"sim", "sim/flight/window.go"}, geometricMiddles},
	{"a duration in words", []string{"sim", "sim/tell", "sim/season/invented", "trainer/result.go", "trainer/liveview/text.go"}, durationsByHand},
	{"a sentence about a hold", []string{
		"sim/tell", "sim/text", "sim/belief", "sim/fit/trials", "sim/lanes", "sim/rigcheck", "sim/season", "trainer", "trainer/liveview", "cmd/flicktally/demo.go",
	}, sentences},
	{"a colour", []string{"sim/lanes/key.go", "sim/lanes/colour.go", "trainer/term/look.go", "sim/bmff"}, colours},
	{"a scale of ticks", []string{"sim/lanes/ticks.go", "sim/odds/change.go"}, ladders},
	{"letters of findings", []string{"sim/lanes", "cmd/flicktally/compare.go"}, letters},
	{"the thinning of lanes", []string{"sim/lanes", "sim", "sim/chanlog", "sim/belief"}, thinnings},
}

// owns reports whether a file is one of the owners, or directly in one.
func (o owned) owns(file string) bool {
	return slices.Contains(o.owners, file) || slices.Contains(o.owners, filepath.ToSlash(filepath.Dir(file)))
}

// TestOneAnswerHasOnePlace searches the source for second places.
func TestOneAnswerHasOnePlace(t *testing.T) {
	files := token.NewFileSet()
	for _, room := range []string{"sim", "plot", "trainer", "cmd"} {
		require.NoError(t, filepath.WalkDir("../../"+room, func(path string, _ fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			code, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			file := filepath.ToSlash(strings.TrimPrefix(path, "../../"))
			for _, a := range answers {
				if a.owns(file) {
					continue
				}
				for _, n := range a.second(code) {
					t.Errorf("%s: a second place for %s, want it from %s", files.Position(n.Pos()), a.answer, a.owners[0])
				}
			}
			return nil
		}))
	}
}

// A page's style and program take their colours from the key; paper is white and
// ink is black.
func TestPagesHaveNoColours(t *testing.T) {
	colour := regexp.MustCompile(`[:"'\s(]#([0-9a-fA-F]{6}|[0-9a-fA-F]{3})\b|\b(rgb|hsl)a?\(`)
	for _, pattern := range []string{"../../plot/report/*.html", "../../plot/report/*.css", "../../plot/report/*.js", "../../sim/benchcard/*.html"} {
		pages, err := filepath.Glob(pattern)
		require.NoError(t, err)
		require.NotEmpty(t, pages)
		for _, page := range pages {
			text, err := os.ReadFile(page)
			require.NoError(t, err)
			for _, found := range colour.FindAllString(string(text), -1) {
				require.Contains(t, []string{"#000", "#fff"}, found[1:], page)
			}
		}
	}
}

// TestSecondPlacesAreFound shows the search code that it must find, and code that
// it must not.
func TestSecondPlacesAreFound(t *testing.T) {
	for _, test := range []struct {
		answer string
		found  bool
		code   string
	}{
		{"what a hold does", true, `if p.Hold() >= r.Rig.Camera.LongPress.Low { return "long" }`},
		{"what a hold does", true, `if set.Camera.MinPress.High > down.Length() { return "" }`},
		{"what a hold does", true, `least, long := c.MinPress, c.LongPress; switch { case held < least.Low: case held < long.Low: }`},
		{"what a hold does", false, `ends := p.Down + r.Rig.Camera.LongPress.High; exact := c.MinPress == c.LongPress`},
		{"the hold to aim for", true, `aim := sim.Micros(math.Sqrt(float64(band.Low) * float64(band.High)))`},
		{"the hold to aim for", true, `aim := math.Sqrt(float64(c.MinPress.High * c.LongPress.Low))`},
		{"the hold to aim for", false, `sd := math.Sqrt(v / n)`},
		{"a duration in words", true, `s := fmt.Sprintf("held %d ms", hold/sim.Millisecond)`},
		{"a duration in words", true, `s := fmt.Sprintf("%+.1fs late", off)`},
		{"a duration in words", true, `s := strconv.Itoa(int(hold/1000)) + " ms"`},
		{"a duration in words", true, `s := strconv.FormatFloat(hold.Seconds(), 'f', 1, 64)`},
		{"a duration in words", true, `fmt.Fprint(out, hold.Duration())`},
		{"a duration in words", false, `s := fmt.Sprintf("%d switches in %s", n, hold.Rounded()); x := hold.Seconds() / 2`},
		{"a sentence about a hold", true, `s := fmt.Sprintf("flick %d: held %s, too short", p.N, p.Hold())`},
		{"a sentence about a hold", true, `s := "press " + n + " was too short for the camera"`},
		{"a sentence about a hold", true, `s := fmt.Sprintf("a hold of %s toggles", hold)`},
		{"a sentence about a hold", true, `s := "held " + hold.Rounded()`},
		{"a sentence about a hold", false, `s := "print a table of presses"; n := fmt.Sprintf("%d takes", n)`},
		{"a colour", true, `s := style.Foreground(tcell.ColorRed)`},
		{"a colour", true, `s := style.Foreground(tcell.NewRGBColor(200, 0, 0))`},
		{"a colour", true, `c := color.NRGBA{R: 213, G: 94, A: 255}`},
		{"a colour", true, `c := color.Black`},
		{"a colour", true, `const c lanes.RGB = 0xD55E00`},
		{"a colour", true, "s := `<rect fill=\"#d55e00\"/>`"},
		{"a colour", false, `c := color.NRGBA{R: r, G: g, B: b, A: 255}; s := "column #120000"; m := x & 0xFFFF`},
		{"a scale of ticks", true, `steps := []sim.Micros{sim.Second, 2 * sim.Second, 5 * sim.Second, 10 * sim.Second}`},
		{"a scale of ticks", true, `steps := [...]float64{1, 2, 5}`},
		{"a scale of ticks", true, `steps := []sim.Micros{10 * sim.Second, 30 * sim.Second, sim.Minute}`},
		{"a scale of ticks", false, `lengths := []sim.Micros{3 * sim.Second, 4 * sim.Second, 5 * sim.Second, 7 * sim.Second}`},
		{"letters of findings", true, `letter := string(rune('a' + i))`},
		{"letters of findings", false, `key := 'a'`},
		{"the thinning of lanes", true, `}; func thinSpans(spans []sim.Span) []sim.Span { return spans`},
	} {
		t.Run(test.code, func(t *testing.T) {
			code, err := parser.ParseFile(token.NewFileSet(), "", "package p\nfunc f() string {\n"+test.code+"\n}\n", parser.SkipObjectResolution)
			require.NoError(t, err)
			i := slices.IndexFunc(answers, func(a owned) bool { return a.answer == test.answer })
			require.Equal(t, test.found, len(answers[i].second(code)) > 0)
		})
	}
}

// search returns the nodes of a file that meet a condition.
func search[N ast.Node](root ast.Node, is func(N) bool) []ast.Node {
	var found []ast.Node
	ast.Inspect(root, func(n ast.Node) bool {
		if node, ok := n.(N); ok && is(node) {
			found = append(found, n)
		}
		return true
	})
	return found
}

// mentions reports whether an expression uses one of some names, alone or as a
// field or method.
func mentions(root ast.Node, names ...string) bool {
	return len(search(root, func(id *ast.Ident) bool { return slices.Contains(names, id.Name) })) > 0
}

// isCall reports whether a call is of one of some functions of a package; no
// names means any of them.
func isCall(call *ast.CallExpr, pkg string, names ...string) bool {
	selector, ok := call.Fun.(*ast.SelectorExpr)
	return ok && mentions(selector.X, pkg) && (len(names) == 0 || slices.Contains(names, selector.Sel.Name))
}

// texts returns the string literals that match a pattern.
func texts(code *ast.File, pattern *regexp.Regexp) []ast.Node {
	return search(code, func(lit *ast.BasicLit) bool {
		text, err := strconv.Unquote(lit.Value)
		return lit.Kind == token.STRING && err == nil && pattern.MatchString(text)
	})
}

// thresholdComparisons finds comparisons with a threshold of the press window, or
// with a variable that has one.
func thresholdComparisons(code *ast.File) []ast.Node {
	var found []ast.Node
	for _, decl := range code.Decls {
		thresholds := []string{"MinPress", "LongPress"}
		for _, n := range search(decl, func(a *ast.AssignStmt) bool { return a.Tok == token.DEFINE && len(a.Lhs) == len(a.Rhs) }) {
			assign := n.(*ast.AssignStmt)
			for i, value := range assign.Rhs {
				if _, plain := value.(*ast.SelectorExpr); plain && mentions(value, "MinPress", "LongPress") {
					thresholds = append(thresholds, assign.Lhs[i].(*ast.Ident).Name)
				}
			}
		}
		found = append(found, search(decl, func(b *ast.BinaryExpr) bool {
			ordered := []token.Token{token.LSS, token.LEQ, token.GTR, token.GEQ}
			return slices.Contains(ordered, b.Op) && mentions(b, thresholds...)
		})...)
	}
	return found
}

// geometricMiddles finds roots of the product of the ends of a range.
func geometricMiddles(code *ast.File) []ast.Node {
	return search(code, func(call *ast.CallExpr) bool {
		return isCall(call, "math", "Sqrt") && mentions(call, "Low") && mentions(call, "High")
	})
}

// durationsByHand finds texts with a number and a unit of time.
func durationsByHand(code *ast.File) []ast.Node {
	formats := texts(code, regexp.MustCompile(`%[-+ #0-9.*]*[dfgev] ?(ms|s|min|h)\b`))
	units := search(code, func(b *ast.BinaryExpr) bool {
		lit, ok := b.Y.(*ast.BasicLit)
		return ok && b.Op == token.ADD && regexp.MustCompile(`^" (ms|s|min|h)"$`).MatchString(lit.Value)
	})
	numbers := search(code, func(call *ast.CallExpr) bool {
		return (isCall(call, "fmt") || isCall(call, "strconv", "FormatFloat", "FormatInt", "Itoa")) && slices.ContainsFunc(call.Args, func(arg ast.Expr) bool {
			return mentions(arg, "Seconds", "Milliseconds", "Minutes", "Duration")
		})
	})
	return slices.Concat(formats, units, numbers)
}

// sentences finds texts that say how long something was held, or whether that
// was enough.
func sentences(code *ast.File) []ast.Node {
	return texts(code, regexp.MustCompile(`(?i)\bheld (for )?(%|$)|\bhold (of|from) %|\btoo (short|long)\b`))
}

// colours finds colours in numbers, in texts, and of the packages for them.
func colours(code *ast.File) []ast.Node {
	hex := regexp.MustCompile(`^0[xX][0-9a-fA-F]{6}$`)
	numbers := search(code, func(lit *ast.BasicLit) bool { return lit.Kind == token.INT && hex.MatchString(lit.Value) })
	inTexts := texts(code, regexp.MustCompile(`(^|[:"'(])#[0-9a-fA-F]{6}\b|\brgba?\(\d`))
	named := search(code, func(s *ast.SelectorExpr) bool {
		return mentions(s.X, "tcell") && regexp.MustCompile(`^(Color[A-Z]|New(RGB|Hex)Color|PaletteColor|GetColor)`).MatchString(s.Sel.Name) ||
			mentions(s.X, "color") && regexp.MustCompile(`^(Black|White)$`).MatchString(s.Sel.Name)
	})
	values := search(code, func(c *ast.CompositeLit) bool {
		s, ok := c.Type.(*ast.SelectorExpr)
		return ok && mentions(s.X, "color") && slices.ContainsFunc(c.Elts, func(e ast.Expr) bool {
			pair, keyed := e.(*ast.KeyValueExpr)
			_, literal := e.(*ast.BasicLit)
			if keyed {
				_, literal = pair.Value.(*ast.BasicLit)
			}
			return literal && !(keyed && mentions(pair.Key, "A"))
		})
	})
	return slices.Concat(numbers, inTexts, named, values)
}

// ladders finds lists of round steps: 1, 2, 5 or 10, 30, 60 of anything.
func ladders(code *ast.File) []ast.Node {
	return search(code, func(c *ast.CompositeLit) bool {
		if _, list := c.Type.(*ast.ArrayType); !list {
			return false
		}
		steps := make([]float64, len(c.Elts))
		for i, e := range c.Elts {
			steps[i] = multiple(e)
		}
		for i := 2; i < len(steps); i++ {
			first, second := steps[i-1]/steps[i-2], steps[i]/steps[i-1]
			if first == 2 && second == 2.5 || first == 2.5 && second == 2 || first == 3 && second == 2 {
				return true
			}
		}
		return false
	})
}

// multiple returns a number of units as a number: 2 * sim.Second as 2e6; 0 for
// anything else.
func multiple(e ast.Expr) float64 {
	units := map[string]float64{"Microsecond": 1, "Millisecond": 1e3, "Second": 1e6, "Minute": 60e6, "Hour": 3600e6}
	switch e := e.(type) {
	case *ast.BasicLit:
		n, _ := strconv.ParseFloat(e.Value, 64)
		return n
	case *ast.Ident:
		return units[e.Name]
	case *ast.SelectorExpr:
		return units[e.Sel.Name]
	case *ast.BinaryExpr:
		if e.Op == token.MUL {
			return multiple(e.X) * multiple(e.Y)
		}
	}
	return 0
}

// letters finds letters that are counted from a.
func letters(code *ast.File) []ast.Node {
	return search(code, func(b *ast.BinaryExpr) bool {
		lit, ok := b.X.(*ast.BasicLit)
		return ok && b.Op == token.ADD && (lit.Value == "'a'" || lit.Value == "'A'")
	})
}

// thinnings finds functions that thin.
func thinnings(code *ast.File) []ast.Node {
	return search(code, func(f *ast.FuncDecl) bool { return regexp.MustCompile(`(?i)^thin`).MatchString(f.Name.Name) })
}
