package card

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/tell"
)

// Lines says what was read, joined and left out, in printable text.
func (c *Card) Lines() []string {
	lines := []string{c.counts()}
	if c.anyByHeader() {
		what := "when a clip began"
		if c.times == headerEnd {
			what = "when a clip ended"
		}
		lines = append(lines, "the times in the files' headers are "+what+", "+c.how)
	}
	add := func(list []string, what string) {
		if len(list) > 0 {
			lines = append(lines, what+named(list))
		}
	}
	add(c.namesOf(func(clip clip) bool { return clip.HasStart && !clip.byHeader }), "start by the file's own time, to 2 s: ")
	for _, clip := range c.clips {
		if len(clip.Files) > 1 {
			add(shortened(clip.Files), "parts of one clip: ")
		}
	}
	add(c.namesOf(func(clip clip) bool { return clip.NoLength }), "never closed, so of unknown length: ")
	add(filesOf(c.copies), "smaller copies, left out: ")
	add(filesOf(c.others), "no video, ignored: ")
	for _, f := range c.broken {
		lines = append(lines, fmt.Sprintf("could not be read: %s: %s", excerpt.Printable(f.Name), excerpt.Printable(f.Err.Error())))
	}
	return lines
}

func (c *Card) counts() string {
	files := len(c.videos) + len(c.copies) + len(c.others) + len(c.broken)
	line := fmt.Sprintf("%s in %s", tell.Counted(len(c.clips), "clip", "clips"), tell.Counted(files, "file", "files"))
	total := sim.Micros(0)
	for _, clip := range c.clips {
		total += clip.Length
	}
	if total > 0 {
		line += ", " + total.Readable() + " in all"
	}
	return line
}

func (c *Card) anyByHeader() bool {
	for _, clip := range c.clips {
		if clip.byHeader {
			return true
		}
	}
	return false
}

func (c *Card) namesOf(which func(clip) bool) []string {
	var names []string
	for _, clip := range c.clips {
		if which(clip) {
			names = append(names, clip.Name)
		}
	}
	return names
}

func filesOf(files []File) []string {
	var names []string
	for _, f := range files {
		names = append(names, base(f.Name))
	}
	return names
}

func shortened(paths []string) []string {
	var names []string
	for _, p := range paths {
		names = append(names, base(p))
	}
	return names
}

// named lists names, cutting a long list short.
func named(names []string) string {
	const most = 8
	var shown []string
	for _, name := range names[:min(len(names), most)] {
		shown = append(shown, excerpt.Printable(name))
	}
	text := strings.Join(shown, ", ")
	if rest := len(names) - most; rest > 0 {
		text += fmt.Sprintf(" and %d more", rest)
	}
	return text
}
