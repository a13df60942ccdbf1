// Package live keeps the tally of a flight while it happens.
//
// It is fed samples as a stream delivers them, with their time of arrival on the
// wall clock. The current view can be taken at any time:
//
//	tally := live.New(src.Tap(), src.Rig(rig))
//	tally.Feed(arrived, block.Segment, block.Samples)
//	tally.See(now, belief.LightRecording) // what somebody saw of the camera
//	view := tally.Look(now).View()
//	flights := tally.Finish()
//
// # Two clocks
//
// The model uses only the times of the stream, so the same input always gives the
// same replay. The wall clock only says how far to look ahead of the last sample:
// a clone of the chain is advanced as if no more samples came. Late or divided
// input may change what is shown for a moment, but never what is counted.
//
// # What is shown
//
// A [View] is the end of a replay at the current moment, with its uncertainty
// (package belief): the likeliest state with the chance that the camera records,
// the running take, the current press and the time until it becomes long, and the
// time from which the next press will almost certainly be accepted.
//
// The package reads no input and no clock, and starts no goroutine. A [Tally]
// grows with the presses, not with the samples. [Tally.Look] is quick, so the
// reader of the stream never waits for the display.
package live
