package card

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/tell"
)

// Lines says what was read, joined and left out, in printable text.
func (c *Card) Lines() []string {
	lines := []string{c.counts()}
	if slices.ContainsFunc(c.clips, func(clip clip) bool { return clip.byHeader }) {
		what := "when a clip began"
		if c.times == headerEnd {
			what = "when a clip ended"
		}
		lines = append(lines, "the times in the files' headers are "+what+", "+c.how)
	}
	add := func(what string, names []string) {
		if len(names) > 0 {
			lines = append(lines, what+nameList(names))
		}
	}
	add("start by the file's own time, to 2 s: ", c.namesOf(clip.byFileTime))
	for _, clip := range c.clips {
		if len(clip.Files) > 1 {
			add("parts of one clip: ", baseNames(clip.Files))
		}
	}
	add("never closed, so of unknown length: ", c.namesOf(func(clip clip) bool { return clip.NoLength }))
	add("smaller copies, left out: ", filesOf(c.copies))
	add("no video, ignored: ", filesOf(c.others))
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

// namesOf returns the names of some clips.
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
		names = append(names, f.Name)
	}
	return baseNames(names)
}

func baseNames(paths []string) []string {
	var names []string
	for _, p := range paths {
		names = append(names, path.Base(p))
	}
	return names
}

// nameList lists names, the first eight if there are more.
func nameList(names []string) string {
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
