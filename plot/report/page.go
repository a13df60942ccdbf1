package report

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"slices"
	"sync"

	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
)

// TraceBins is a number of bins for a flight's trace that is enough for a zoom.
const TraceBins = 1 << 14

// maxRows is the most rows of a table. The page says how many more there are.
const maxRows = 1000

// Page is the page of one log. It needs a source and at least one part.
type Page struct {
	Source  string          // name of the log
	RigFrom string          // name of the rig file; "" = all defaults
	Given   map[string]bool // keys in the rig file, such as "camera.min_press"
	Notes   []string        // how the log was read
	Parts   []flight.Flight // the segments of the log, in order
}

// Pages makes a page for each log. given has the keys in the rig file, nil if
// there is none; rigFrom is its name.
func Pages(flights []flight.Flight, given map[string]bool, rigFrom string) []Page {
	var pages []Page
	names := flight.FileNames(flights)
	for i, f := range flights {
		if f.Segment == 1 {
			page := Page{Source: names[i], Given: given, Notes: f.Reading.Lines()}
			if given != nil {
				page.RigFrom = rigFrom
			}
			pages = append(pages, page)
		}
		page := &pages[len(pages)-1]
		for _, line := range f.Card {
			page.Notes = append(page.Notes, "card: "+line)
		}
		page.Parts = append(page.Parts, f)
	}
	return pages
}

// Write writes the page as one HTML file, well-formed as XML too. Equal pages
// give equal bytes.
func (p Page) Write(w io.Writer) error {
	if len(p.Parts) == 0 {
		panic("internal error: a page without a part")
	}
	return pages().ExecuteTemplate(w, "page.html", newPageView(p.printable()))
}

// printable returns a copy with printable texts only. XML cannot represent some
// other characters, and the rest could mislead a reader.
func (p Page) printable() Page {
	p.Source, p.RigFrom = excerpt.Printable(p.Source), excerpt.Printable(p.RigFrom)
	p.Notes, p.Parts = slices.Clone(p.Notes), slices.Clone(p.Parts)
	for i, note := range p.Notes {
		p.Notes[i] = excerpt.Printable(note)
	}
	for i := range p.Parts {
		findings := slices.Clone(p.Parts[i].Findings)
		for j, f := range findings {
			findings[j].Text, findings[j].Remedy = excerpt.Printable(f.Text), excerpt.Printable(f.Remedy)
		}
		p.Parts[i].Findings = findings
	}
	return p
}

//go:embed *.html page.css page.js
var files embed.FS

// pages parses the templates when the first page is written, as most runs of the
// program write none.
var pages = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{"capital": capital, "sentence": sentence}).ParseFS(files, "*.html"))
})

// foldFrom is the least number of items of a list or a table that opens only on
// demand.
const foldFrom = 16

// assets are what all pages share.
type assets struct {
	Title    string // of the whole page
	Style    template.CSS
	Script   template.JS
	Patterns []pattern
	Symbols  []symbol
	// Policy forbids a browser to load anything, and to use any style or script
	// but these, whatever a log contains.
	Policy string
}

// newAssets returns the assets of a page, with a script if one is named.
func newAssets(title, script string) assets {
	style := guarded(keyStyle() + asset("page.css"))
	a := assets{
		Title: title,
		Style: template.CSS(style), Patterns: patterns(), Symbols: symbols(),
		Policy: "default-src 'none'; img-src data:; style-src " + digest(style),
	}
	if script != "" {
		text := guarded(asset(script))
		a.Script = template.JS(text)
		a.Policy += "; script-src " + digest(text)
	}
	return a
}

// guarded keeps a style or a script from being read as markup where the page
// is read as XML.
func guarded(text string) string { return "/*<![CDATA[*/\n" + text + "/*]]>*/" }

func asset(name string) string {
	text, err := files.ReadFile(name)
	if err != nil {
		panic(fmt.Sprintf("internal error: %v", err))
	}
	return string(text)
}

func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
