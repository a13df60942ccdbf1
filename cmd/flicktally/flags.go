package main

import "flicktally/sim"

// durationFlag is a flag that takes a duration as a rig file does: "80ms".
type durationFlag sim.Micros

func (d *durationFlag) String() string { return sim.Micros(*d).String() }

func (d *durationFlag) Type() string { return "duration" }

func (d *durationFlag) Set(text string) error {
	m, err := sim.ParseDuration(text)
	if err == nil {
		*d = durationFlag(m)
	}
	return err
}

// clockFlag is a flag that takes a time of a log: "12.5s" or "0:12.5".
type clockFlag sim.Micros

func (c *clockFlag) String() string { return sim.Micros(*c).Clock() }

func (c *clockFlag) Type() string { return "time" }

func (c *clockFlag) Set(text string) error {
	m, err := sim.ParseClock(text)
	if err == nil {
		*c = clockFlag(m)
	}
	return err
}
