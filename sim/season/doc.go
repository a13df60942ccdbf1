// Package season evaluates many flights with one camera together: what they reveal
// about its press window, how well the pilot does, and what to do next.
//
//	evidence, err := belief.Likelihood(outing, season.GridOf(rig))
//	s := season.Of(rig, outings, leftOut)
//	s.Camera.MinPress // with 95 %
//	s.Next            // at most three things to do
//
// # The camera, learned
//
// The thresholds are the same in all flights; the state at the start is not. So
// the likelihoods of all outings are multiplied, over a grid of cells by cells
// thresholds within the rig's ranges, all equally likely at first (M11). The
// posterior of one flight is the prior of the next. The sums of logarithms use
// whole numbers, so the result is the same in every order. A flight without
// observations adds nothing: without a clip or a glance, no log says where the
// camera's thresholds are. Bench trials are another source.
//
// How often the 95 % range contained the truth, and its median width, in
// simulated seasons with thresholds anywhere in 60 to 220 ms and 0.9 to 2 s.
// Each season has 30 flights of 12 flicks, logged every 20 ms, with a list of
// the clips to 0.3 s, one in a hundred missing (TestASeasonLearnsTheCamera
// -seasons 160):
//
//	pilot                                   min_press           long_press
//	half N(350, 40) ms, a quarter each
//	70 to 200 ms and 1 to 1.9 s             151 of 160  11 ms   155 of 160   44 ms
//	N(350, 40) ms, slips in 3 of 100        151 of 160  97 ms   152 of 160  477 ms
//	the same, and 20 trials at the bench     57 of 60   19 ms    58 of 60   162 ms
//
// In the first kind, all 160 came within 20 ms of min_press and within 150 ms
// of long_press: holds near a threshold reveal it, ordinary flicks hardly do.
//
// # The pilot
//
// The chances of days are pooled by a hierarchical model; see [Period]. The 95
// % interval of a day contains its true chance in at least 90 % of simulated
// seasons, whether days differ or not. A change is reported with a false-alarm
// chance of at most 5 %.
package season
