package main

import (
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
)

// tellOddities tells beside a result what was odd in the logs.
func (t *talk) tellOddities(flights []flight.Flight) {
	for _, f := range flights {
		if f.Segment > 1 {
			continue
		}
		for _, oddity := range f.Reading.Odd {
			t.note("%s: %s", excerpt.Printable(f.File), oddity)
		}
	}
}
