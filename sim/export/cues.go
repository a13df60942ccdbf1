package export

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
)

// cue is a cue of WebVTT: text over a stretch of time.
type cue struct {
	from, to sim.Micros
	text     string
}

// Cues writes a cue for each take, at the time of the flight.
func Cues(w io.Writer, f *flight.Flight) error {
	var cues []cue
	for _, t := range f.Replay.Takes {
		cues = append(cues, cue{t.Start, t.End, takeText(t)})
	}
	return writeCues(w, title(f, "takes"), cues)
}

// Chapters writes chapters that cover the flight: the takes, and what lies
// between them.
func Chapters(w io.Writer, f *flight.Flight) error {
	var cues []cue
	at := sim.Micros(0)
	between := func(to sim.Micros) {
		if to > at {
			cues = append(cues, cue{at, to, "no take"})
		}
	}
	for _, t := range f.Replay.Takes {
		between(t.Start)
		cues = append(cues, cue{t.Start, t.End, fmt.Sprintf("take %d", t.N)})
		at = t.End
	}
	between(f.Replay.End)
	return writeCues(w, title(f, "chapters"), cues)
}

// ClipCues writes what happened while a take ran, at the time of its clip: the
// take as a whole, presses that went down, and findings.
func ClipCues(w io.Writer, f *flight.Flight, take sim.Take) error {
	const shown = 2 * sim.Second // a moment, long enough to be read
	cues := []cue{{0, take.Length(), takeText(take) + ", from " + take.Start.Clock() + " of the flight"}}
	moment := func(at, until sim.Micros, text string) {
		if at < take.Start || at >= take.End {
			return
		}
		until = min(max(until, at+shown), take.End)
		cues = append(cues, cue{at - take.Start, until - take.Start, text})
	}
	for _, p := range f.Replay.Presses {
		up := p.Up
		if p.Open() {
			up = take.End
		}
		moment(p.Down, up, pressText(p))
	}
	for _, finding := range f.Findings {
		moment(finding.At, finding.At, finding.Text)
	}
	slices.SortStableFunc(cues, func(a, b cue) int { return cmp.Compare(a.from, b.from) })
	return writeCues(w, title(f, fmt.Sprintf("clip of take %d", take.N)), cues)
}

func takeText(t sim.Take) string {
	text := fmt.Sprintf("take %d, %s", t.N, t.Length().Clock())
	switch {
	case t.EndedBy != 0:
		text += fmt.Sprintf(", ended by press %d", t.EndedBy)
	case t.Ended == sim.EndLog:
		text += ", still running when the log ends"
	}
	return text
}

func pressText(p sim.Press) string {
	if p.Open() {
		return fmt.Sprintf("press %d, not released: %s", p.N, p.Verdict)
	}
	return fmt.Sprintf("press %d, held %s: %s", p.N, p.Hold().Rounded(), p.Verdict)
}

func title(f *flight.Flight, what string) string {
	if f.Replay.Rig.Name == "" {
		return what
	}
	return f.Replay.Rig.Name + ": " + what
}

// writeCues writes a WebVTT file. Cues are in order of their start; one that is
// shorter than a millisecond becomes one, since an end must lie behind its
// start.
func writeCues(w io.Writer, title string, cues []cue) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "WEBVTT\n\nNOTE\n%s. Times are modelled; only the camera's own light is proof.\n", plainText(title))
	for i, c := range cues {
		from := inMillis(c.from)
		to := max(inMillis(c.to), from+1)
		fmt.Fprintf(out, "\n%d\n%s --> %s\n%s\n", i+1, timestamp(from), timestamp(to), plainText(c.text))
	}
	return out.Flush()
}

// inMillis rounds to milliseconds, halves up.
func inMillis(m sim.Micros) int64 { return int64((m + sim.Millisecond/2) / sim.Millisecond) }

// timestamp writes "00:01:02.500" (§3.2.3: two digits of hours or more).
func timestamp(millis int64) string {
	seconds := millis / 1000
	return fmt.Sprintf("%02d:%02d:%02d.%03d", seconds/3600, seconds/60%60, seconds%60, millis%1000)
}

// plainText escapes what cue text gives a meaning (§3.4), and what does not
// print: it keeps to a line.
func plainText(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(excerpt.Printable(text))
}
