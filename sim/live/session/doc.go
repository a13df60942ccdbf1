// Package session connects a stream to its tally: it reads samples from an
// input, records them, and lets screens look at the tally.
//
//	s := session.New(rig, clock, record)
//	s.Read(input)        // in a goroutine of its own
//	view := s.Look()     // by the screen, as often as it likes
//	<-s.Ended()          // closed when the input has ended
//	result := s.Finish() // the flights, and what went wrong
//
// An [Input] is a source of samples: a stream, a growing file, a serial device,
// datagrams, a transmitter. A [Record] keeps what came in.
//
// A slow screen never holds up a reader: its samples are recorded and counted
// at once, and the screen looks at the tally when it has time.
package session
