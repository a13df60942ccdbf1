package main

import (
	"fmt"
	"path/filepath"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// How flights and rigs are named in headings and on charts.

// log names the segment of the log as it was named.
func (f flight) log() string {
	log := excerpt.Printable(f.File)
	if f.Segments > 1 {
		log += fmt.Sprintf(" (segment %d of %d)", f.Segment, f.Segments)
	}
	return log
}

// title names rig and log.
func (f flight) title() string { return withRig(f.Replay.Rig, f.log()) }

// withRig puts the rig's name, if it has one, before a heading.
func withRig(rig sim.Rig, heading string) string {
	if rig.Name == "" {
		return heading
	}
	return excerpt.Printable(rig.Name) + ", " + heading
}

// logName names a log without the way to it.
func logName(file string) string {
	if file == "-" {
		return "standard input"
	}
	return filepath.Base(file)
}

// chartName names a log on a chart, without the way to it.
func chartName(f flight) string {
	name := excerpt.Printable(logName(f.File))
	if f.Segments > 1 {
		name += fmt.Sprintf(", segment %d of %d", f.Segment, f.Segments)
	}
	return name
}

// named puts the rig's name, if it has one, before a chart's subject.
func named(rig sim.Rig, subject string) string {
	if rig.Name == "" {
		return subject
	}
	return rig.Name + ": " + subject
}
