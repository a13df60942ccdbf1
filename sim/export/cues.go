package export

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// cue is a cue of WebVTT: text over a stretch of time.
type cue struct {
	from, to sim.Micros
	text     string
}

// Cues writes a cue for each take, at the time of the flight. Several flights
// are put end to end.
func Cues(w io.Writer, flights []flight.Flight) error {
	cues := inTurn(flights, func(f *flight.Flight) (cues []cue) {
		for _, t := range f.Replay.Takes {
			cues = append(cues, cue{t.Start, t.End, takeText(f, t)})
		}
		return cues
	})
	return writeCues(w, titleOf(flights, "takes"), cues)
}

// Chapters writes chapters that cover flights: the takes and the gaps between
// them. Several flights are put end to end.
func Chapters(w io.Writer, flights []flight.Flight) error {
	return writeCues(w, titleOf(flights, "chapters"), inTurn(flights, chaptersOf))
}

func chaptersOf(f *flight.Flight) []cue {
	var cues []cue
	at := sim.Micros(0)
	between := func(to sim.Micros) {
		if to > at {
			cues = append(cues, cue{at, to, "no take"})
		}
	}
	for _, t := range f.Replay.Takes {
		between(t.Start)
		cues = append(cues, cue{t.Start, t.End, takeName(f, t)})
		at = t.End
	}
	between(f.Replay.End)
	return cues
}

// inTurn puts the cues of flights end to end, and names the flights if there
// are several.
func inTurn(flights []flight.Flight, of func(*flight.Flight) []cue) []cue {
	var all []cue
	at := sim.Micros(0)
	for i := range flights {
		f := &flights[i]
		for _, c := range of(f) {
			if len(flights) > 1 {
				c.text = f.Log() + ": " + c.text
			}
			all = append(all, cue{at + c.from, at + c.to, c.text})
		}
		at += f.Replay.End
	}
	return all
}

// Write writes the cues of the file.
func (c CueFile) Write(w io.Writer) error {
	what := cmp.Or(excerpt.Printable(c.Clip), fmt.Sprintf("clip of take %d", c.Take))
	return writeCues(w, title(c.of.flight, what), c.cues())
}

// takeName numbers a take, and names its clip if known.
func takeName(f *flight.Flight, t sim.Take) string {
	name := fmt.Sprintf("take %d", t.N)
	if clip := clipName(f, t); clip != "" {
		name += ", " + clip
	}
	return name
}

func takeText(f *flight.Flight, t sim.Take) string {
	text := takeName(f, t) + ", " + t.Length().FineClock()
	switch {
	case t.EndedBy != 0:
		text += fmt.Sprintf(", ended by press %d", t.EndedBy)
	case t.Ended == sim.EndLog:
		text += ", still running when the log ends"
	}
	return text
}

func pressText(p sim.Press) string {
	return fmt.Sprintf("press %d, %s: %s", p.N, tell.HowHeld(p), p.Verdict)
}

func titleOf(flights []flight.Flight, what string) string {
	if len(flights) == 0 {
		return what
	}
	return title(&flights[0], what)
}

func title(f *flight.Flight, what string) string {
	if f.Replay.Rig.Name == "" {
		return what
	}
	return f.Replay.Rig.Name + ": " + what
}

// writeCues writes a WebVTT file. Cues are in order of their start. A shorter
// cue is extended to a millisecond, since an end must be after its start.
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

// inMillis rounds to milliseconds, rounding halves up.
func inMillis(m sim.Micros) int64 { return int64((m + sim.Millisecond/2) / sim.Millisecond) }

// timestamp writes "00:01:02.500" (§3.2.3: two digits of hours or more).
func timestamp(millis int64) string {
	seconds := millis / 1000
	return fmt.Sprintf("%02d:%02d:%02d.%03d", seconds/3600, seconds/60%60, seconds%60, millis%1000)
}

// plainText escapes what has a meaning in cue text (§3.4) and what is
// unprintable; the result stays on one line.
func plainText(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(excerpt.Printable(text))
}
