// Package tell puts a replay into words: the verdict on a flight, its flicks,
// presses, takes and holds, and the findings. Every sentence about them that a
// report, a page or a screen shows is made here. Holds and settings are written
// by [sim.Micros.Rounded], other durations by [sim.Micros.Readable], times of a
// flight by [sim.Micros.Clock].
//
// A [Finding] is something that cost, or could cost, footage. If the same cause
// recurs while nothing has changed, that is one finding with a count and a span.
// Each kind is a [Rule], in the file for its subject.
package tell
