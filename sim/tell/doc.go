// Package tell puts a replay into words: the verdict on a flight, its flicks,
// presses, takes and holds, and the findings. It makes every sentence about
// them that a report, a page or a screen shows. [sim.Micros] writes lengths and
// times: holds and settings by Rounded, lengths by Readable, times of a flight
// by Clock.
//
// A [Finding] is something that cost, or could cost, footage. The same cause
// again while nothing has changed is one finding, with a count and a span. Each
// kind is a [Rule], in the file for its subject.
package tell
