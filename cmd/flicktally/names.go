package main

import (
	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// withRig puts the rig's name, if it has one, before a heading.
func withRig(rig sim.Rig, heading string) string {
	if rig.Name == "" {
		return heading
	}
	return excerpt.Printable(rig.Name) + ", " + heading
}

// named puts the rig's name, if it has one, before a chart's subject.
func named(rig sim.Rig, subject string) string {
	if rig.Name == "" {
		return subject
	}
	return rig.Name + ": " + subject
}
