package export

import (
	"bufio"
	"fmt"
	"io"
	"path"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
)

// Rate is a frame rate: Count frames in Seconds. Time codes count frames
// without dropping any.
type Rate struct {
	Name           string
	Count, Seconds int64
}

// rates lists the frame rates that fit time codes with two digits for frames.
var rates = []Rate{
	{"23.976", 24000, 1001}, {"24", 24, 1}, {"25", 25, 1}, {"29.97", 30000, 1001}, {"30", 30, 1},
	{"47.952", 48000, 1001}, {"48", 48, 1}, {"50", 50, 1}, {"59.94", 60000, 1001}, {"60", 60, 1},
}

// ParseRate reads one of rates.
func ParseRate(text string) (Rate, error) {
	var names []string
	for _, r := range rates {
		if r.Name == text {
			return r, nil
		}
		names = append(names, r.Name)
	}
	return Rate{}, fmt.Errorf("found %q pictures a second, want %s", text, sim.OneOf(names))
}

// frames returns the number of whole frames in a length of time.
func (r Rate) frames(length sim.Micros) int64 {
	return int64(length) * r.Count / r.Seconds / int64(sim.Second)
}

// code writes a count of frames as a time code, "01:00:00:00".
func (r Rate) code(frames int64) string {
	each := (r.Count + r.Seconds - 1) / r.Seconds
	seconds := frames / each
	return fmt.Sprintf("%02d:%02d:%02d:%02d", seconds/3600%24, seconds/60%60, seconds%60, frames%each)
}

// Edits writes the takes of flights one after the other as an edit decision
// list, in the text form of SMPTE 258M, written here from memory. A clip's full
// name is in a comment that many programs read (common practice, no source);
// the reel is as much of the name as fits into eight characters.
func Edits(w io.Writer, flights []flight.Flight, rate Rate) error {
	out := bufio.NewWriter(w)
	line := func(format string, args ...any) {
		fmt.Fprint(out, inASCII(fmt.Sprintf(format, args...)), "\r\n")
	}
	line("TITLE: %s", excerpt.Printable(titleOf(flights, "takes")))
	line("FCM: NON-DROP FRAME")
	reels := map[string]string{}
	at := rate.frames(sim.Hour) // programmes start at 1 h (common practice, no source)
	for n, f := range allFootage(flights) {
		length := max(1, rate.frames(f.length))
		reel := f.reel(reels)
		line("")
		line("%03d  %-8s V     C        %s %s %s %s", n+1, reel, rate.code(0), rate.code(length), rate.code(at), rate.code(at+length))
		if f.name != "" {
			line("* FROM CLIP NAME: %s", excerpt.Printable(f.name))
		}
		line("* %s of %s, from %s", excerpt.Printable(takeText(f.flight, f.take)), f.flight.Log(), f.span.From.FineClock())
		at += length
	}
	return out.Flush()
}

// reel names a file in at most eight letters and digits, one name per file.
func (f footage) reel(taken map[string]string) string {
	const most = 8
	file := f.name
	name := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' {
			return r
		}
		return -1
	}, strings.ToUpper(strings.TrimSuffix(path.Base(file), path.Ext(file))))
	if file == "" {
		file = fmt.Sprintf("%s\x00%d\x00%d", f.flight.File, f.flight.Segment, f.take.N)
		name = fmt.Sprintf("TAKE%04d", f.take.N)
	}
	name = name[max(0, len(name)-most):] // cameras' file names differ at their ends
	for n := 1; name == "" || taken[name] != "" && taken[name] != file; n++ {
		name = fmt.Sprintf("R%07d", n)
	}
	taken[name] = file
	return name
}

// inASCII replaces characters that the format does not have.
func inASCII(line string) string {
	return strings.Map(func(r rune) rune {
		if r > '~' {
			return '?'
		}
		return r
	}, line)
}
