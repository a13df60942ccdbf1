// Package sim models how a switch on a transmitter starts and stops recording
// on a screenless camera. The camera's record button is a wire, driven by an
// output of the flight controller that follows an aux channel. A short press
// toggles recording; one that is too short, or comes while the camera is busy,
// does nothing; a long one has another effect. Nothing reports back.
//
// # Use
//
// Describe the rig, feed a [Chain] the samples of a log, and read the [Replay]:
//
//	rig := sim.DefaultRig()
//	if err := rig.Validate(); err != nil {
//		return err
//	}
//	chain := sim.NewChain(sim.TapChannel, rig)
//	chain.FeedAll(samples)
//	replay := chain.Finish()
//
// A replay is plain data: flicks, presses, toggles, states, takes, and the edges
// of every stage. Package tell puts it into words and derives the findings. The
// same chain runs live ([Chain.Advance]), and behind a simulated radio link in
// practice and odds ([LinkedChain]): there is one model.
//
// # Stages
//
// Each stage is a small value that knows neither its neighbours nor a clock, a
// file or a screen. Step gives it an input, Deadline returns the next moment at
// which it acts without one, and Expire lets it act then. In the order of the
// signal:
//
//  1. [Selector]: is the switch in a press range (M3), is the signal lost (M2)?
//  2. settle: a new position counts once it has been held (M4).
//  3. oneShot: edges become pulses of a fixed width (M5).
//  4. line: the output takes over its input at each refresh (M6).
//  5. wire: delay, boot level and polarity (M6).
//  6. [Camera]: presses, what they do, states and takes (M7, M8, M12).
//
// M0 to M12 are the rules of the model. The comment of the code that follows a
// rule, and the name of the test that checks it, give its number.
//
// # Time and units
//
// Time is discrete: [Micros] are whole microseconds since the first row of a
// log. The model is defined by what happens at each microsecond; the code jumps
// from event to event with the same result. At one instant the stages act in the
// order above, and a new input counts from that instant on.
//
// Pulse widths are in µs ([PulseWidth]). Chances are from 0 to 1. Press ranges,
// spans and zones include their low end and exclude their high end.
//
// # Errors
//
// [Rig.Validate] names every key of a rig that cannot work, what was found and
// what would be accepted. An invalid or absent sample is not an error (M1, M2).
// A violated precondition, such as samples out of order, panics with "internal
// error".
//
// # What it does not do
//
// The package reads no file, asks no clock and starts no goroutine. It never
// claims that the camera recorded: a tally is the result of a model, and only
// the camera's own light is proof.
package sim
