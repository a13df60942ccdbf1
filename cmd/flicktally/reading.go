package main

import (
	"fmt"
	"strings"

	"flicktally/sim/chanlog"
	"flicktally/sim/excerpt"
	"flicktally/sim/mavlink"
	"flicktally/sim/source"
	"flicktally/sim/tell"
	"flicktally/sim/vcd"
)

// reading is how a log was read, in lines for the person.
type reading struct {
	facts []string // what was found out, and where every byte went
	odd   []string
}

func readingOf(s source.Summary) reading {
	switch s.Kind {
	case source.VCD:
		return readingOfVCD(s.VCD)
	case source.MAVLink:
		return readingOfMAVLink(s.MAVLink, s.Loss)
	default:
		return readingOfCSV(s.CSV)
	}
}

// lines returns all there is to tell.
func (r reading) lines() []string {
	lines := r.facts
	for _, oddity := range r.odd {
		lines = append(lines, "note: "+oddity)
	}
	return lines
}

// tellOddities tells beside a result what was odd in the logs.
func (t *talk) tellOddities(flights []flight) {
	for _, f := range flights {
		if f.Segment > 1 {
			continue
		}
		for _, oddity := range readingOf(f.Reading).odd {
			t.note("%s: %s", excerpt.Printable(f.File), oddity)
		}
	}
}

func readingOfCSV(s *chanlog.Summary) reading {
	var settled []string
	for _, d := range s.Details() {
		settled = append(settled, fmt.Sprintf("%s %s (%s)", d.What, d.Found, d.How))
	}
	return reading{[]string{strings.Join(settled, ", "), s.Accounting()}, s.Warnings()}
}

func readingOfVCD(s *vcd.Summary) reading {
	r := reading{facts: []string{fmt.Sprintf("waveform of the wire %s, %s of level, times in steps of %s",
		excerpt.Printable(s.Wire), tell.Counted(s.Changes, "change", "changes"), s.Step)}}
	if s.Merged > 0 {
		r.odd = append(r.odd, tell.Counted(s.Merged, "change", "changes")+" within one microsecond of another")
	}
	if s.Torn {
		r.odd = append(r.odd, "the capture breaks off within its last word, which was left out")
	}
	return r
}

func readingOfMAVLink(s *mavlink.Summary, loss *source.Loss) reading {
	clock := "the vehicle's clock"
	if s.RecordedTime {
		clock = "the recorder's clock"
	}
	r := reading{facts: []string{systemsLine(s), fmt.Sprintf("%s read, times by %s; %s of other messages",
		tell.Counted(s.Frames, "frame", "frames"), clock, tell.Counted(s.Foreign, "frame", "frames"))}}
	if loss != nil {
		r.facts = append(r.facts, fmt.Sprintf("the signal counts as lost after %s, three of its median steps of %s (the rig says %s)",
			loss.After, loss.Step, loss.Rig))
	}
	for _, odd := range []struct {
		n    int
		text string
	}{
		{int(s.Damaged), "damaged bytes skipped"},
		{s.Missing, "frames missing by their numbers"},
		{s.Late, "frames came late and were left out"},
		{s.Misplaced, "frames with a time far from those before and after left out"},
		{s.Repeated, "frames say again what another said of the same instant, and count once"},
		{s.Unsupported, "frames with a flag that is not known, left out"},
	} {
		if odd.n > 0 {
			r.odd = append(r.odd, fmt.Sprintf("%d %s", odd.n, odd.text))
		}
	}
	return r
}

// systemsLine names the system that was read, and the others that send the
// channel.
func systemsLine(s *mavlink.Summary) string {
	read := fmt.Sprintf("MAVLink from system %d", s.System)
	var others []string
	for _, of := range s.Systems {
		frames := tell.Counted(of.Frames, "frame", "frames")
		if of.System == s.System {
			read += " (" + frames + " with a value)"
			continue
		}
		others = append(others, fmt.Sprintf("system %d (%s)", of.System, frames))
	}
	if len(others) > 0 {
		read += "; not read: " + strings.Join(others, ", ") + "; --system chooses"
	}
	return read
}
