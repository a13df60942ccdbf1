package practice

import (
	"fmt"
	"slices"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/sim/stat"
	"flicktally/trainer/term"
)

// measurePage measures the resolution of the input from regular reports: the repeats
// of a key that is held down, or the moves of a stick that is stirred.
type measurePage struct {
	waiting
	gaps  []sim.Micros
	last  sim.Micros // the previous report, on the input's own clock
	begun bool
	done  bool
}

const (
	gapsWanted = 40
	longestGap = 120 * sim.Millisecond // between regular reports

	// keyboardScan is the scan interval of a keyboard. Repeats do not show it, as
	// they come from the computer. Common practice, no source.
	keyboardScan = 8 * sim.Millisecond
	// assumedResolution is used if nothing was measured.
	assumedResolution = 10 * sim.Millisecond
)

func (m *measurePage) key(p *Screen, e term.KeyEvent) bool {
	switch {
	case e.Name == "q":
		return false
	case e.Name == "enter":
		if !m.done {
			p.input.resolution, p.input.measured = assumedResolution, "assumed"
		}
		p.begin()
	case e.Name == "space" && !p.input.device && e.Kind != term.KeyReleased:
		m.add(e.At)
	}
	return true
}

// report handles moves of any of the transmitter's controls.
func (m *measurePage) report(moves []joystick.Move) {
	for _, move := range moves {
		if !move.Initial && move.At != m.last {
			m.add(move.At)
		}
	}
}

func (m *measurePage) add(at sim.Micros) {
	gap := at - m.last
	if m.begun && gap < longestGap && !m.done {
		m.gaps = append(m.gaps, gap)
	}
	m.begun, m.last = true, at
}

func (m *measurePage) tick(p *Screen) {
	if m.done || len(m.gaps) < gapsWanted {
		return
	}
	m.done = true
	if p.input.device {
		// A hold can be off by the time between two reports: the median of the
		// gaps, as a stick at rest leaves longer ones.
		p.input.resolution, p.input.measured = upToTenth(stat.Median(m.gaps)), "measured: the time between reports"
		return
	}
	jitter := repeatJitter(m.gaps)
	p.input.resolution = keyboardScan + jitter
	p.input.measured = fmt.Sprintf("measured: %s here, and %s for the keyboard's scan", jitter.Rounded(), keyboardScan.Rounded())
}

// repeatJitter returns the jitter of key times between the kernel and the program:
// 19 of 20 gaps are within it.
func repeatJitter(gaps []sim.Micros) sim.Micros {
	middle := stat.Median(gaps)
	off := make([]sim.Micros, len(gaps))
	for i, gap := range gaps {
		off[i] = max(gap-middle, middle-gap)
	}
	slices.Sort(off)
	return upToTenth(off[(len(off)*19+19)/20-1])
}

// upToTenth rounds up to a multiple of 0.1 ms above 0.
func upToTenth(m sim.Micros) sim.Micros {
	const tenth = sim.Millisecond / 10
	return max(tenth, (m+tenth-1)/tenth*tenth)
}

func (*measurePage) help(p *Screen) []term.HelpLine {
	return []term.HelpLine{
		{Keys: []string{"enter"}, Does: "continue; assume " + assumedResolution.Rounded() + " if not full"},
		{Keys: []string{"q"}, Does: "quit"},
	}
}
