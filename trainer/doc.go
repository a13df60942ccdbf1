// Package trainer is the engine of practice: drills that train the flick, the
// count and the hands-off, judged by the very chain of package sim on the
// pilot's own rig. It asks no clock and draws nothing: it is fed the moves of the
// switch and the passing of time, and is asked what to show.
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
// Times are microseconds of any clock that never goes back; the drill counts from
// Start. Moves come in order of time. A move may be stamped up to [Lateness]
// before the last Tick, as keys and ticks take different ways; how often Tick is
// called changes nothing in what is judged. A key is a latching switch, whose
// two values are those of [sim.Rig.RestAndPress].
//
// [Drill.Pause] and [Drill.Resume] stop the time. A trial that the hand has begun
// counts as it stands, and a press in the pause goes on and counts;
// [Drill.Interrupt] stops the time for a reason that is not the pilot's, and drops
// the trial. [Drill.TakeBack] undoes moves that were none.
// [Drill.Stop] ends a drill at any moment. What was done is kept:
// [Drill.Flicks] and [Drill.Results] grow and, but for a TakeBack, never change, so a caller writes
// down what is new after each call, and package trainer/history does.
//
// # What is judged
//
// A flick is the hand's press and release of the switch; the presses of it are
// what the camera saw after link, settle, one-shot and refresh. Whether a trial
// was right is the camera's word. How close it was is the hand's: that is what
// practice can change. Each trial has one [Outcome]; what is right, with its fixed
// tolerance, stands in [Kind.Right], and no level changes it. No difference below the resolution of the input is
// judged, reaction time within the two seconds of a cue never is, and the day's first flick stands for itself.
//
// The levels of a drill follow an up-down rule; reliable is decided by a
// sequential test ([Reliability]).
package trainer
