package export

import (
	"cmp"
	"slices"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
)

// takeAt returns the take that runs at a moment, the zero take if none does. A
// take includes its end, as a press may go down just then and end it.
func takeAt(f *flight.Flight, at sim.Micros) sim.Take {
	for _, t := range f.Replay.Takes {
		if at >= t.Start && at <= t.End {
			return t
		}
	}
	return sim.Take{}
}

// clipOf returns the clip on the card that matches a take, if known.
func clipOf(f *flight.Flight, take sim.Take) (belief.Clip, bool) {
	if f.Known == nil || take.N == 0 {
		return belief.Clip{}, false
	}
	for _, p := range f.Known.Pairs {
		if p.Take == take.N && p.Clip > 0 {
			return f.Clips[p.Clip-1], true
		}
	}
	return belief.Clip{}, false
}

// clipName names the clip of a take, "" if unknown or unnamed.
func clipName(f *flight.Flight, take sim.Take) string {
	clip, _ := clipOf(f, take)
	return clip.Name
}

// footage is a video file, or the take that would be in one.
type footage struct {
	flight *flight.Flight
	take   sim.Take
	name   string // of the file; "" if unknown
	span   sim.Span
	length sim.Micros // of the file or, if unknown, of the span
}

// footageOf returns the files of a take: more than one if the camera split the
// clip.
func footageOf(f *flight.Flight, take sim.Take) []footage {
	whole := footage{f, take, "", take.Span(), take.Length()}
	clip, ok := clipOf(f, take)
	if !ok {
		return []footage{whole}
	}
	whole.name = clip.Name
	if !clip.NoLength && clip.Length > 0 {
		whole.length = clip.Length
	}
	if clip.Parts == nil {
		return []footage{whole}
	}
	var files []footage
	at := take.Start
	for i, part := range clip.Parts {
		one := footage{f, take, part.Name, sim.Span{From: min(at, take.End), To: min(at+part.Length, take.End)}, part.Length}
		if i == len(clip.Parts)-1 {
			one.span.To = take.End
		}
		files = append(files, one)
		at += part.Length
	}
	return files
}

// allFootage returns the files of all takes, in order.
func allFootage(flights []flight.Flight) []footage {
	var all []footage
	for i := range flights {
		for _, t := range flights[i].Replay.Takes {
			all = append(all, footageOf(&flights[i], t)...)
		}
	}
	return all
}

// CueFile is a file of cues for one video file, timed from its start.
type CueFile struct {
	Take int    // number of the take
	Clip string // name of the video file on the card; "" if unknown
	of   footage
}

// CueFiles returns the files of cues for the clips of a flight.
func CueFiles(f *flight.Flight) []CueFile {
	var files []CueFile
	for _, t := range f.Replay.Takes {
		for _, one := range footageOf(f, t) {
			files = append(files, CueFile{t.N, one.name, one})
		}
	}
	return files
}

// cues returns a cue for the whole take, for each press that went down while
// the file was recorded, and for each finding.
func (c CueFile) cues() []cue {
	const shown = 2 * sim.Second // a moment, long enough to be read
	span, f := c.of.span, c.of.flight
	cues := []cue{{0, span.Length(), takeText(f, c.of.take) + ", from " + span.From.FineClock() + " of the flight"}}
	moment := func(at, until sim.Micros, text string) {
		if at < span.From || at >= span.To {
			return
		}
		until = min(max(until, at+shown), span.To)
		cues = append(cues, cue{at - span.From, until - span.From, text})
	}
	for _, p := range f.Replay.Presses {
		moment(p.Down, min(p.Up, span.To), pressText(p))
	}
	for _, finding := range f.Findings {
		moment(finding.At, finding.At, finding.Text)
	}
	slices.SortStableFunc(cues, func(a, b cue) int { return cmp.Compare(a.from, b.from) })
	return cues
}
