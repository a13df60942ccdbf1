// Package trainer is the engine of practice: drills for the flick, for keeping
// count and for leaving the switch alone. The chain of package sim judges them on
// the pilot's own rig. The package has no clock and draws nothing: it is fed the
// moves of the switch and the time, and returns what to show.
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
// routes. How often Tick is called does not change the results. A key is a
// latching switch with the two values of [sim.Rig.RestAndPress].
//
// [Drill.Pause] and [Drill.Resume] stop and restart the time. A trial that the
// hand has begun counts as it is; a press during the pause resumes the drill and
// counts. [Drill.Interrupt] stops the time for a reason that is not the pilot's,
// and drops the trial. [Drill.TakeBack] undoes moves that turn out not to be
// real. [Drill.Stop] ends a drill at any moment. Results are kept:
// [Drill.Flicks] and [Drill.Results] grow and, except for a TakeBack, never
// change. So a caller can save what is new after each call, as package
// trainer/history does.
//
// # What is judged
//
// A flick is the hand's press and release of the switch. Its presses are what
// the camera saw after link, settle, one-shot and refresh. The camera decides
// whether a trial was right; how close it was is measured at the hand, since
// that is what practice can change. Each trial has one [Outcome]. [Kind.Right]
// says what counts as right, with a tolerance that is the same at every level.
// Differences below the resolution of the input are not judged, nor is reaction
// time within the two seconds of a cue. The day's first flick is counted
// separately.
//
// The level of a drill follows an up-down rule. A sequential test decides whether
// a drill is reliable ([Reliability]).
package trainer
