// Package rigcheck predicts before a flight what will go wrong with a rig, why
// it matters, and what to change.
//
//	report := rigcheck.Check(rig, rigcheck.DefaultWithin)
//	report.Findings // what will go wrong, faults first
//	report.Figures  // what works: holds that toggle, time between two flicks
//
// The package plays probes through the chain, behind its link (M10): a switch at
// rest, flicks, a lost signal, a power-on. It judges the results, and finds what
// to change by playing the probes again with other values of a key. So each
// [Change] has been tested: it removes the finding and adds no other.
//
// # What is probed
//
//   - The positions of a switch are 1000, 1500 and 2000 µs by convention. End
//     stops sent as 11-bit counts become about 988 and 2012 µs
//     (172 and 1811 counts; common practice, no source).
//   - An ordinary flick lasts from 140 ms, two movements of a hand at about 70 ms
//     each (Card, Moran and Newell, Model Human Processor), to 400 ms (common
//     practice, no source).
//   - There is no chance: a frame comes at the luckiest and at the unluckiest
//     moment, and so does a refresh of the line. What is true at both is true in
//     between. Lost frames are left to the odds.
//   - A threshold given as a range is taken at its worst.
package rigcheck
