package source

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/mavlink"
	"flicktally/sim/tell"
)

// Reading describes how the log was read so far.
func (s *Source) Reading() sim.Reading {
	reading := s.reading()
	if loss := s.loss; loss != nil {
		reading.Facts = append(reading.Facts, fmt.Sprintf("the signal counts as lost after %s, three of its median steps of %s (the rig says %s)",
			loss.After.Rounded(), loss.Step.Rounded(), loss.Rig.Rounded()))
	}
	return reading
}

func (l csvLog) reading() sim.Reading {
	s := l.Reader.Summary()
	return s.Reading()
}

func (l vcdLog) reading() sim.Reading {
	s := l.Reader.Summary()
	r := sim.Reading{Facts: []string{fmt.Sprintf("waveform of the wire %s, %s of level, times in steps of %s",
		excerpt.Printable(s.Wire), tell.Counted(s.Changes, "change", "changes"), s.Step)}, OnChange: true}
	if s.Merged > 0 {
		r.Odd = append(r.Odd, tell.Counted(s.Merged, "change", "changes")+" within one microsecond of another")
	}
	if s.Torn {
		r.Odd = append(r.Odd, "the capture ends within a word, which was left out")
	}
	return r
}

func (l mavlinkLog) reading() sim.Reading {
	s := l.Reader.Summary()
	clock := "the vehicle's clock"
	if s.RecordedTime {
		clock = "the recorder's clock"
	}
	r := sim.Reading{Sender: systemsLine(s), Facts: []string{fmt.Sprintf("%s read, times by %s; %s of other messages",
		tell.Counted(s.Frames, "frame", "frames"), clock, tell.Counted(s.Foreign, "frame", "frames"))}}
	for _, odd := range []struct {
		n         int
		one, many string
	}{
		{int(s.Damaged), "damaged byte skipped", "damaged bytes skipped"},
		{s.Missing, "frame missing by its number", "frames missing by their numbers"},
		{s.Late, "frame came late and was left out", "frames came late and were left out"},
		{s.Misplaced, "frame with a time far from those before and after left out", "frames with a time far from those before and after left out"},
		{s.Repeated, "frame repeats another of the same instant, and counts once", "frames repeat another of the same instant, and count once"},
		{s.Unsupported, "frame with an unknown flag left out", "frames with an unknown flag left out"},
	} {
		if odd.n > 0 {
			r.Odd = append(r.Odd, tell.Counted(odd.n, odd.one, odd.many))
		}
	}
	return r
}

// systemsLine names the system that was read, and the others that send the channel.
func systemsLine(s mavlink.Summary) string {
	read := fmt.Sprintf("MAVLink from system %d", s.System)
	var others []string
	for _, of := range s.Systems {
		frames := tell.Counted(of.Frames, "frame", "frames")
		if of.System == s.System {
			with := " with a value)"
			if s.Empty {
				with = ", none with a value)"
			}
			read += " (" + frames + with
			continue
		}
		others = append(others, fmt.Sprintf("system %d (%s)", of.System, frames))
	}
	if len(others) > 0 {
		read += "; not read: " + strings.Join(others, ", ") + "; --system chooses"
	}
	return read
}
