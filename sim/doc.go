// Package sim models how a switch on a transmitter becomes a recording on a
// screenless camera: the record button is a wire, driven by an output of the
// flight controller that follows an aux channel.
//
// Data flows one way. Each step is a small value that knows neither its
// neighbours nor a clock, a file or a screen:
//
//  1. Samples of the channel go into the [Selector]: is the switch in a press
//     range, or is the signal lost?
//  2. settle lets a new position count once it has been held.
//  3. oneShot may turn edges into pulses of a fixed width.
//  4. line samples that at its refresh; wire delays it and applies the boot
//     level and the polarity.
//  5. The [Camera] reads the wire: presses, releases, what they do, takes.
//
// [Chain] wires them in that order and is the place to start reading. It yields a
// [Replay]: presses, toggles, states, takes and the edges of every step, as
// plain data. Package tell derives the findings from it. Typical use:
//
//	chain := sim.NewChain(sim.TapChannel, rig)
//	chain.FeedAll(samples)
//	replay := chain.Finish()
//	findings := tell.Findings(replay, tell.DefaultLimits())
//
// The same chain runs live, in practice and in the odds: there is one model.
//
// # Time
//
// Time is discrete: whole microseconds since the first row of a log ([Micros]).
// The model is defined by what happens at each microsecond; the code jumps from
// event to event and gives what stepping every microsecond gives. At one
// instant the steps act in the order above, and a new input counts from that
// instant on. Rules are numbered M0 to M12 in the comments and the tests; the
// rule stands with the code that follows it.
//
// # What it does not do
//
// The package reads no file, asks no clock, starts no goroutine. It also never
// claims that the camera recorded: a tally is a model's result, and only the
// camera's own light is proof.
package sim
