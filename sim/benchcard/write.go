package benchcard

import (
	"bufio"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"

	"flicktally/sim/excerpt"
)

// Format is a form of a written card.
type Format string

// The formats. HTML is a page to print.
const (
	Text     Format = "text"
	Markdown Format = "markdown"
	HTML     Format = "html"
)

// Formats lists the formats.
var Formats = []Format{Text, Markdown, HTML}

// Write writes the card in a format.
func (c Card) Write(w io.Writer, format Format) error {
	switch format {
	case Text:
		return c.writeText(w)
	case Markdown:
		return c.writeMarkdown(w)
	case HTML:
		return page().Execute(w, c)
	default:
		panic(fmt.Sprintf("internal error: a card as %q", format))
	}
}

//go:embed card.html
var pageSource string

// page is parsed when it is first written: most runs of the program never do.
var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("card").Parse(pageSource))
})

// textWidth suits a usual terminal and a printed page.
const textWidth = 78

func (c Card) writeText(w io.Writer) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "%s\n%s\n\n", c.Title, strings.Repeat("=", len([]rune(c.Title))))
	fmt.Fprintln(out, excerpt.Wrap("", c.Intro, textWidth))
	textSteps(out, "Before anything else", c.Cautions)
	for i, p := range c.Parts {
		textSteps(out, fmt.Sprintf("%d. %s", i+1, p.Title), p.Steps)
		if p.Trials != nil {
			fmt.Fprintf(out, "\n   %2s  %-10s  %7s  %-14s  %s\n", "n", "for", "hold", "held", "outcome")
		}
		for _, t := range p.Trials {
			fmt.Fprintf(out, "   %2d  %-10s  %7s  %-14s  [ ] nothing  [ ] toggled  [ ] long\n", t.N, t.For, t.Hold.Rounded(), "______________")
		}
	}
	return out.Flush()
}

func textSteps(out io.Writer, title string, steps []Step) {
	fmt.Fprintf(out, "\n%s\n%s\n", title, strings.Repeat("-", len([]rune(title))))
	for _, s := range steps {
		text := s.Text
		if s.Note != "" {
			text += "\n" + s.Note + ": ____________________"
		}
		fmt.Fprintln(out, excerpt.Wrap("[ ] ", text, textWidth))
	}
}

func (c Card) writeMarkdown(w io.Writer) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "# %s\n\n%s\n", escaped(c.Title), escaped(c.Intro))
	markdownSteps(out, "Before anything else", c.Cautions)
	for i, p := range c.Parts {
		markdownSteps(out, fmt.Sprintf("%d. %s", i+1, p.Title), p.Steps)
		if p.Trials != nil {
			fmt.Fprint(out, "\n| n | for | hold | held | nothing | toggled | long |\n| ---: | --- | ---: | --- | :---: | :---: | :---: |\n")
		}
		for _, t := range p.Trials {
			fmt.Fprintf(out, "| %d | %s | %s | | ☐ | ☐ | ☐ |\n", t.N, escaped(t.For), t.Hold.Rounded())
		}
	}
	return out.Flush()
}

func markdownSteps(out io.Writer, title string, steps []Step) {
	fmt.Fprintf(out, "\n## %s\n\n", title)
	for _, s := range steps {
		text := escaped(s.Text)
		if s.Note != "" {
			text += " **" + escaped(s.Note) + ":** `____________`"
		}
		fmt.Fprintln(out, "- [ ] "+text)
	}
}

// escaped escapes what Markdown would take for markup.
func escaped(text string) string { return markup.Replace(text) }

var markup = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, "|", `\|`, "#", `\#`)
