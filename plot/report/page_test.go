package report_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/plot/report"
	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// node is an element of a written page.
type node struct {
	name     string
	attr     map[string]string
	text     string // of this element alone
	children []*node
}

// parse reads a page as XML, which is stricter than HTML: every element is
// closed, every attribute quoted, every entity known.
func parse(t *testing.T, page []byte) *node {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(page))
	root := &node{name: "document"}
	open := []*node{root}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			require.Len(t, open, 1)
			return root
		}
		require.NoError(t, err)
		top := open[len(open)-1]
		switch token := token.(type) {
		case xml.StartElement:
			n := &node{name: token.Name.Local, attr: map[string]string{}}
			for _, a := range token.Attr {
				n.attr[a.Name.Local] = a.Value
			}
			top.children = append(top.children, n)
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			top.text += string(token)
		}
	}
}

// all returns the elements with a name and a class ("" = any), in order.
func (n *node) all(name, class string) []*node {
	var found []*node
	for _, c := range n.children {
		if c.name == name && (class == "" || strings.Contains(" "+c.attr["class"]+" ", " "+class+" ")) {
			found = append(found, c)
		}
		found = append(found, c.all(name, class)...)
	}
	return found
}

// content returns the text of an element and of all elements in it.
func (n *node) content() string {
	text := n.text
	for _, c := range n.children {
		text += " " + c.content()
	}
	return strings.Join(strings.Fields(text), " ")
}

func (n *node) number(t *testing.T, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(n.attr[name], 64)
	require.NoError(t, err, "%s of %s", name, n.name)
	return v
}

type writer interface{ Write(io.Writer) error }

func written(t *testing.T, w writer) []byte {
	t.Helper()
	var page bytes.Buffer
	require.NoError(t, w.Write(&page))
	return page.Bytes()
}

func TestPageShowsTheReplay(t *testing.T) {
	page := regattaPage()
	r, findings := page.Parts[0].Replay, page.Parts[0].Findings
	doc := parse(t, written(t, page))

	require.Equal(t, "regatta.csv: recording tally", doc.all("title", "")[0].content())
	require.Contains(t, doc.all("h2", "summary")[0].content(), tell.Summary(r)[1:])

	rows := doc.all("table", "flicks")[0].all("tbody", "")[0].all("tr", "")
	require.Len(t, rows, len(r.Presses))
	for i, p := range r.Presses {
		text := rows[i].content()
		for _, want := range []string{p.Down.Clock(), tell.Held(p), tell.ByHand(r, p), tell.Margin(r, p), string(p.Verdict), string(p.StateAfter)} {
			require.Contains(t, text, want)
		}
	}
	rows = doc.all("table", "takes")[0].all("tbody", "")[0].all("tr", "")
	require.Len(t, rows, len(r.Takes))
	for i, take := range r.Takes {
		text := rows[i].content()
		for _, want := range []string{take.Start.Clock(), take.End.Clock(), take.Length().Readable(), tell.Ended(take)} {
			require.Contains(t, text, want)
		}
	}
	items := doc.all("ol", "findings")[0].all("li", "")
	require.Len(t, items, len(findings))
	for i, f := range findings {
		text := items[i].content()
		for _, want := range []string{f.At.Clock(), f.Text[1:], f.Remedy[1:], string(f.Code)} {
			require.Contains(t, text, want)
		}
	}
	require.Contains(t, doc.all("table", "armed")[0].content(), r.Armed.Windows[0].Length().Readable())
	for _, note := range page.Notes {
		require.Contains(t, doc.content(), note)
	}
}

func TestSettingsSayWhereTheyComeFrom(t *testing.T) {
	doc := parse(t, written(t, regattaPage()))
	from := map[string]string{}
	for _, row := range doc.all("table", "settings")[0].all("tbody", "")[0].all("tr", "") {
		cells := row.all("td", "")
		from[row.all("th", "")[0].content()] = cells[1].content()
	}
	require.Equal(t, "rig file", from["camera.min_press"])
	require.Equal(t, "example", from["camera.long_press"], "a camera's default is an example, and says so")
	require.Equal(t, "default", from["switch.press"])
	require.Contains(t, doc.content(), "measure yours at the bench")
}

func TestPageSaysWhatTheModelAssumes(t *testing.T) {
	rig := heron()
	remarks := func() string {
		p := report.Page{Source: "x", Parts: []flight.Flight{part(rig, regatta[:2], 70*sim.Second)}}
		return parse(t, written(t, p)).content()
	}
	require.Contains(t, remarks(), "A hold from 80 ms to less than 1500 ms toggles on the release of the button.")
	require.Contains(t, remarks(), "A longer one switches the camera off.")
	require.Contains(t, remarks(), "in the state standby when the log starts")
	require.NotContains(t, remarks(), "likeliest case")

	rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	rig.Camera.LongAction, rig.Camera.Start = sim.ActionUnknown, sim.StartUnknown
	require.Contains(t, remarks(), "Most likely a hold from 85 ms to less than 1500 ms toggles")
	require.Contains(t, remarks(), "60 to 110 ms for the shortest press that toggles, 1500 ms for the long press. Presses and takes are shown as in the likeliest case.")
	require.Contains(t, remarks(), "has an unknown effect: the camera’s state is unknown from then on.")
	require.Contains(t, remarks(), "It is not known what the camera was doing when the log started.")
}

func TestCautionsAreOnEveryPage(t *testing.T) {
	text := parse(t, written(t, regattaPage())).all("section", "cautions")[0].content()
	for _, want := range []string{"own light", "props off", "batteries", "Local rules"} {
		require.Contains(t, text, want)
	}
}

// W3C, WCAG 2.1: 1.1.1 (text for pictures), 1.3.1 (headings of tables),
// 2.1.1 (keyboard), 3.1.1 (language).
func TestPageServesAScreenReader(t *testing.T) {
	doc := parse(t, written(t, regattaPage()))
	require.Equal(t, "en", doc.all("html", "")[0].attr["lang"])
	require.Len(t, doc.all("h1", ""), 1)
	ids := map[string]bool{}
	var walk func(*node)
	walk = func(n *node) {
		if id := n.attr["id"]; id != "" {
			require.False(t, ids[id], "id %s twice", id)
			ids[id] = true
		}
		for _, c := range n.children {
			walk(c)
		}
	}
	walk(doc)
	for _, svg := range doc.all("svg", "chart") {
		require.Equal(t, "img", svg.attr["role"])
		for _, attribute := range []string{"aria-labelledby", "aria-describedby"} {
			require.True(t, ids[svg.attr[attribute]], attribute)
		}
	}
	for _, svg := range doc.all("svg", "gauge") {
		require.Equal(t, "true", svg.attr["aria-hidden"], "a gauge only repeats its row")
	}
	for _, th := range doc.all("th", "") {
		require.Contains(t, []string{"col", "row"}, th.attr["scope"])
	}
	for _, a := range doc.all("a", "") {
		require.True(t, ids[strings.TrimPrefix(a.attr["href"], "#")], "%s leads nowhere", a.attr["href"])
	}
	require.Equal(t, "0", doc.all("figure", "timing")[0].all("div", "scroll")[0].attr["tabindex"])
}

// Names come from other people's files. None may end or start an element, change
// the direction of text, or put characters on the page that XML cannot have.
func TestHostileNamesStayText(t *testing.T) {
	hostile := "</title></script><script>alert(1)</script>\"'&<img src=x onerror=alert(1)>\x1b[31m\u202e\x00\xff\uffff]]>"
	visible := excerpt.Printable(hostile)
	page := regattaPage()
	page.Source, page.RigFrom, page.Notes = hostile, hostile, []string{hostile}
	page.Parts[0].Replay.Rig.Name = hostile
	page.Parts[0].Findings = []tell.Finding{{Code: "x", Text: hostile, Remedy: hostile}}

	for _, w := range []writer{page, report.Index{Entries: []report.Entry{{Page: page, Href: "a b.html"}}}} {
		doc := parse(t, written(t, w))
		require.Contains(t, doc.all("h1", "")[0].content()+doc.all("h2", "")[0].content(), visible)
		require.Empty(t, doc.all("img", ""))
		require.LessOrEqual(t, len(doc.all("script", "")), 1)
	}
	doc := parse(t, written(t, page))
	require.Contains(t, doc.all("h2", "summary")[0].content(), "recorded")
	require.Contains(t, doc.all("ol", "findings")[0].content(), visible)
	require.Equal(t, 2, strings.Count(doc.all("svg", "chart")[0].content()+doc.content(), "finding A: "+visible))
}

func TestPageMakesNoRequest(t *testing.T) {
	doc := parse(t, written(t, regattaPage()))
	policy := doc.all("meta", "")[1]
	require.Equal(t, "Content-Security-Policy", policy.attr["http-equiv"])
	require.True(t, strings.HasPrefix(policy.attr["content"], "default-src 'none'; img-src data:;"))
	for _, name := range []string{"img", "iframe", "object", "embed", "image", "form"} {
		require.Empty(t, doc.all(name, ""), name)
	}
	for _, use := range doc.all("use", "") {
		require.True(t, strings.HasPrefix(use.attr["href"], "#shape-"), "a shape of the page itself")
	}
	links := doc.all("link", "")
	require.Len(t, links, 1)
	require.Equal(t, "data:,", links[0].attr["href"], "or a browser asks for an icon")
	style := doc.all("style", "")[0].text
	require.NotRegexp(t, `url\([^#]`, style, "but for the page's own patterns")
	require.NotContains(t, style, "@import")
	require.NotContains(t, string(written(t, regattaPage())), " style=", "the policy would refuse it")
}

func TestEqualPagesAreEqualBytes(t *testing.T) {
	require.Equal(t, written(t, regattaPage()), written(t, regattaPage()))
}

func TestSegmentsAreParts(t *testing.T) {
	page := regattaPage()
	page.Parts = append(page.Parts, part(heron(), regatta[:2], 70*sim.Second))
	doc := parse(t, written(t, page))
	parts := doc.all("section", "part")
	require.Len(t, parts, 2)
	require.Contains(t, parts[1].content(), "Segment 2 of 2")
	require.Len(t, parts[1].all("table", "flicks")[0].all("tbody", "")[0].all("tr", ""), 2)
}

func TestPageOfNothing(t *testing.T) {
	chain := sim.NewChain(sim.TapChannel, sim.DefaultRig())
	chain.Feed(sim.Sample{Channel: sim.Absent, Armed: sim.Absent})
	replay := chain.Finish()
	doc := parse(t, written(t, report.Page{Source: "-", Parts: []flight.Flight{{Replay: replay}}}))
	require.Contains(t, doc.content(), "nothing recorded in 0 s")
	require.Empty(t, doc.all("table", "flicks"))
	require.NotContains(t, string(written(t, report.Page{Source: "-", Parts: []flight.Flight{{Replay: replay}}})), "NaN")
}

// Many findings are grouped by cause. All are counted, those that cost footage come
// first, and no cause is there twice.
func TestManyFindingsAreGroupedByCause(t *testing.T) {
	page := manyPage(200)
	doc := parse(t, written(t, page))
	want, got := map[string]int{}, map[string]int{}
	for _, f := range page.Parts[0].Findings {
		want[string(f.Code)] += f.Count
	}
	costly := true
	for _, item := range doc.all("ul", "causes")[0].all("li", "") {
		var n int
		_, err := fmt.Sscan(strings.TrimPrefix(item.content(), "costly "), &n)
		require.NoError(t, err)
		got[item.all("span", "code")[0].content()] += n
		require.True(t, costly || item.attr["class"] == "", "a costly cause follows one that is not")
		costly = item.attr["class"] == "lost"
	}
	require.Equal(t, want, got)
	require.Empty(t, parse(t, written(t, regattaPage())).all("ul", "causes"), "a few findings are not grouped")
}

func TestLongTablesSayWhatTheyLeaveOut(t *testing.T) {
	page := manyPage(1200)
	doc := parse(t, written(t, page))
	require.Len(t, doc.all("table", "flicks")[0].all("tbody", "")[0].all("tr", ""), 1000)
	require.Contains(t, doc.content(), "200 more are not listed here")
}

func TestIndexListsEveryFlight(t *testing.T) {
	lost, fine := regattaPage(), report.Page{Source: "fine.csv", Parts: []flight.Flight{part(heron(), regatta[:2], 70*sim.Second)}}
	doc := parse(t, written(t, report.Index{Entries: []report.Entry{{Page: lost, Href: "r-1.html"}, {Page: fine, Href: "r-2.html"}}}))
	items := doc.all("ol", "flights")[0].all("li", "")
	require.Len(t, items, 2)
	require.Equal(t, "r-1.html", items[0].all("a", "")[0].attr["href"])
	require.Equal(t, "lost", items[0].attr["class"])
	require.Empty(t, items[1].attr["class"])
	require.Contains(t, items[1].content(), tell.Summary(fine.Parts[0].Replay)[1:])

	// All flights have one scale, which the longest fills.
	for i, p := range []report.Page{lost, fine} {
		row := items[i].all("svg", "row")[0]
		r := p.Parts[0].Replay
		require.InDelta(t, 560*r.Takes[0].Start.Seconds()/180, row.all("rect", "recording")[0].number(t, "x"), 1)
		missed := 0
		for _, f := range r.Flicks {
			if f.Outcome != sim.FlickToggled {
				missed++
			}
		}
		require.Len(t, row.all("use", "sign"), missed, "a sign for each flick that did not toggle")
	}
	require.Contains(t, doc.all("dl", "facts")[0].content(), "flicks that did not toggle 2 of 8")
	require.Empty(t, doc.all("script", ""))
}
