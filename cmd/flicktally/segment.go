package main

import (
	"fmt"

	"flicktally/sim/problem"
)

// oneSegment refuses a segment that a log does not have. Of several it notes
// which one is taken, and what is done with it.
func (a *app) oneSegment(number, segments int, is string) error {
	if number < 1 || number > segments {
		return problem.WrongUsage(fmt.Errorf("found --segment %d, want one of the %d in the log", number, segments))
	}
	if segments > 1 {
		a.talk.note("segment %d of %d is %s (another with --segment)", number, segments, is)
	}
	return nil
}
