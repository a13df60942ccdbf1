package main

import (
	"fmt"
	"strings"

	"flicktally/sim/chanlog"
	"flicktally/sim/excerpt"
	"flicktally/sim/mavlink"
	"flicktally/sim/source"
	"flicktally/sim/vcd"
)

// How a log was read, in lines for the person: what was found out, where every
// byte went, what was odd.

func readingLines(s source.Summary) []string {
	switch s.Kind {
	case source.VCD:
		return vcdLines(s.VCD)
	case source.MAVLink:
		return mavlinkLines(s.MAVLink)
	default:
		return csvLines(s.CSV)
	}
}

// tellOddities tells beside a result what was odd in the logs.
func (t *talk) tellOddities(flights []flight) {
	for _, f := range flights {
		if f.Segment > 1 {
			continue
		}
		for _, line := range readingLines(f.Reading) {
			if oddity, ok := strings.CutPrefix(line, oddityMark); ok {
				t.note("%s: %s", excerpt.Printable(f.File), oddity)
			}
		}
	}
}

// oddityMark begins a line that tells what was odd.
const oddityMark = "note: "

func csvLines(s *chanlog.Summary) []string {
	var settled []string
	for _, d := range s.Details() {
		settled = append(settled, fmt.Sprintf("%s %s (%s)", d.What, d.Found, d.How))
	}
	lines := []string{strings.Join(settled, ", "), s.Accounting()}
	for _, warning := range s.Warnings() {
		lines = append(lines, oddityMark+warning)
	}
	return lines
}

func vcdLines(s *vcd.Summary) []string {
	lines := []string{fmt.Sprintf("waveform of the wire %s, %s of level", s.Wire, counted(s.Changes, "change"))}
	if s.Merged > 0 {
		lines = append(lines, fmt.Sprintf(oddityMark+"%s within one microsecond of another", counted(s.Merged, "change")))
	}
	if s.Torn {
		lines = append(lines, oddityMark+"the capture breaks off within its last word, which was left out")
	}
	return lines
}

func mavlinkLines(s *mavlink.Summary) []string {
	clock := "the vehicle's clock"
	if s.RecordedTime {
		clock = "the recorder's clock"
	}
	lines := []string{fmt.Sprintf("MAVLink from system %d: %s, times by %s; %s of other messages",
		s.System, counted(s.Frames, "frame"), clock, counted(s.Foreign, "frame"))}
	for _, odd := range []struct {
		n    int
		text string
	}{
		{int(s.Damaged), "damaged bytes skipped"},
		{s.Missing, "frames missing by their numbers"},
		{s.Late, "frames came late and were left out"},
		{s.Unsupported, "frames with a flag that is not known, left out"},
		{s.OtherSystems, "frames of other systems left out"},
	} {
		if odd.n > 0 {
			lines = append(lines, fmt.Sprintf(oddityMark+"%d %s", odd.n, odd.text))
		}
	}
	return lines
}

// counted writes "1 change" or "3 changes".
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
