// Package session connects an input to its tally: it reads samples, records them,
// and lets screens look at the tally.
//
//	s := session.New(rig, clock, record)
//	s.Read(input)        // starts a goroutine
//	view := s.Look()     // at any time
//	<-s.Ended()          // closed when the input has ended
//	result := s.Finish() // the flights, and what went wrong
//
// An [Input] is a source of samples: a stream, a growing file, a serial device,
// datagrams, a transmitter. A [Record] is a log of the input.
//
// Samples are recorded and counted as soon as they arrive. A slow screen never
// delays that.
package session
