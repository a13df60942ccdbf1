// Package rigcheck tells before a flight what will go wrong with a rig, why
// that matters and what to change, by how much.
//
//	report := rigcheck.Check(rig, rigcheck.DefaultOptions())
//	report.Findings // what will go wrong, faults first
//	report.Figures  // what works: holds that toggle, time between two flicks
//
// The package knows no second set of rules. It plays probe inputs through the
// real chain, behind its link (M10): a switch at rest, flicks, a lost signal, a
// power-on. It reads what became of them, and finds what to change by playing
// them again with other values of a key. So each [Change] has been tried: with
// it the finding is gone, and no new fault has come.
//
// # What is probed
//
//   - The positions of a switch are 1000, 1500 and 2000 µs by convention. End
//     stops that are sent as 11-bit counts come out at about 988 and 2012 µs
//     (172 and 1811 counts; common practice, no source).
//   - An ordinary flick lasts from 140 ms, two movements of a hand at about 70 ms
//     each (Card, Moran and Newell, Model Human Processor), to 400 ms (common
//     practice, no source).
//   - Chance is left out: a frame comes at the luckiest and at the unluckiest
//     moment, and so does a refresh of the line. What holds at both holds in
//     between. Lost frames are the business of the odds.
//   - Thresholds that are known as ranges are taken at their worst.
package rigcheck
