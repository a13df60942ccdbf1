// Package trainer is the engine of practice: drills for the flick, for keeping
// count and for leaving the switch alone, judged by the chain of package sim on
// the pilot's own rig. It has no clock and draws nothing: it is fed the moves
// of the switch and the passing of time, and says what to show.
//
// # Driving a drill
//
//	drill, err := trainer.New(trainer.Setup{Kind: trainer.KindFlick, Rig: rig, Seed: seed, Resolution: res})
//	drill.Start(now, value)          // value: where the switch is
//	for !drill.Over() {
//		// whichever comes first:
//		drill.Move(at, value)    // the switch moved, stamped by the input
//		drill.Answer(at, yes)    // the pilot answered View().Question
//		drill.Tick(now)          // time passed; at least by drill.Deadline()
//		show(drill.View(now))
//	}
//
// Times are microseconds of any clock that never goes back; the drill counts
// from Start. Moves come in order of time. A move may be stamped up to
// [Lateness] before the last Tick, as keys and ticks arrive by different
// routes. How often Tick is called does not change what is judged. A key is a
// latching switch with the two values of [sim.Rig.RestAndPress].
//
// [Drill.Pause] and [Drill.Resume] stop the time. A trial that the hand has
// begun counts as it is, and a press during the pause continues it and counts.
// [Drill.Interrupt] stops the time for a reason that is not the pilot's, and
// drops the trial. [Drill.TakeBack] undoes moves that turn out not to be real.
// [Drill.Stop] ends a drill at any moment. What was done is kept:
// [Drill.Flicks] and [Drill.Results] grow and, except for a TakeBack, never
// change. So a caller can write down what is new after each call, as package
// trainer/history does.
//
// # What is judged
//
// A flick is the hand's press and release of the switch. Its presses are what
// the camera saw after link, settle, one-shot and refresh. The camera decides
// whether a trial was right; how close it was is measured at the hand, since
// that is what practice can change. Each trial has one [Outcome]. What counts
// as right, with its fixed tolerance, is in [Kind.Right], and no level changes
// it. Differences below the resolution of the input are not judged, nor is
// reaction time within the two seconds of a cue, and the day's first flick is
// counted separately.
//
// The levels of a drill follow an up-down rule; reliable is decided by a
// sequential test ([Reliability]).
package trainer
