// Package live keeps the tally of a flight while it happens.
//
// Samples come in as a stream delivers them, each with its time of arrival on
// the wall clock; the current view can be taken at any time:
//
//	tally := live.New(src.Tap(), src.Rig(rig))
//	tally.Feed(arrived, block.Segment, block.Samples)
//	tally.See(now, belief.LightRecording) // what somebody saw of the camera
//	view := tally.Look(now).View()
//	flights := tally.Finish()
//
// # Two clocks
//
// The times of the stream alone drive the model, so the same input gives the
// same replay whenever it is read. The wall clock only says how far to look
// ahead of the last sample: the chain is cloned, and the clone is advanced as
// if nothing more came. So how a stream is divided, or how late it comes, may
// change what is shown for a moment, but never what is counted.
//
// # What is shown
//
// A [View] is the end of a replay at the current moment, with the doubts worked
// out (package belief): the likeliest state with the chance that the camera
// records, the running take, the current press and how close it is to becoming
// long, and when the next press will be accepted in every possible history.
//
// The package reads nothing, asks no clock and starts no goroutine. A [Tally]
// grows with the presses, not with the samples, and Look is quick, so the
// reader of the stream never waits for the display.
package live
