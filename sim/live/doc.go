// Package live keeps the tally of a flight while it happens.
//
// Samples come in as a stream yields them, each with the moment at which it
// arrived by the clock on the wall; looks go out:
//
//	tally := live.New(src.Tap(), src.Rig(rig))
//	tally.Feed(arrived, block.Segment, block.Samples)
//	tally.See(now, belief.LightRecording) // what somebody saw of the camera
//	view := tally.Look(now).View()
//	flights := tally.Finish()
//
// # Two clocks
//
// The times of the stream drive the model, and nothing else does, so what was
// fed gives the same replay again whenever it is read. The clock on the wall
// only tells how far to look ahead of the last sample: the chain is cloned, and
// the clone is run on as if nothing came after it. How a stream is cut into
// pieces, or how late they come, thus changes what is shown for a moment, and
// never what is counted.
//
// # What is shown
//
// A [View] is the end of a replay at the present moment, after what is not known
// was worked out (package belief): the likeliest state with the chance that the
// camera records, the take that runs, the press in hand and how near it is to
// turning long, and from when on the next press will be accepted whichever
// history is the true one.
//
// The package reads nothing, asks no clock and starts no goroutine. A [Tally]
// grows with the presses, not with the samples, and Look is quick, so that
// whoever reads the stream never waits for whoever shows it.
package live
