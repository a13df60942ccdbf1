// Package stat holds the general statistics that the odds, the fits and the
// trainer share: summaries, intervals for a rate and for the difference of two,
// tests that two samples differ in mean or spread, what counts as a slip, and a
// sequential test that decides from as few trials as it can. Chances are 0 to 1.
package stat
