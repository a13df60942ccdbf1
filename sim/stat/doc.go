// Package stat has the general statistics that the odds, the fits and the
// trainer share: summaries, intervals for a rate and for the difference of two,
// tests that two samples differ in mean or spread, the definition of a slip,
// and a sequential test that decides from as few trials as possible. Chances
// are 0 to 1.
package stat
