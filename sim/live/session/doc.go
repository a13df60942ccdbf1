// Package session brings a stream to its tally: from where samples come, through
// the record, to those who look.
//
//	s := session.New(rig, clock, record)
//	s.Read(input)        // in a goroutine of its own
//	view := s.Look()     // by the screen, as often as it likes
//	<-s.Ended()          // closed when the input has ended
//	result := s.Finish() // the flights, and what went wrong
//
// An [Input] is where samples come from: a stream, a file that grows, a serial
// device, datagrams, a switch in the hand. A [Record] keeps what came in.
//
// A reader is never kept waiting by a slow screen: what it brings is recorded and
// counted at once, and whoever shows the tally looks at it when there is time.
package session
