// Package season puts many flights of one camera together: what they tell of its
// press window, how the pilot does, and what to do next.
//
//	evidence, err := belief.Likelihood(outing, season.GridOf(rig))
//	s := season.Of(rig, outings, leftOut)
//	s.Camera.MinPress // with 95 %
//	s.Next            // at most three things to do
//
// # The camera, learned
//
// The thresholds are the same in all flights, the state at the start is not. So
// the likelihoods of all outings are multiplied, over a grid of [Cells] by [Cells]
// thresholds within the ranges of the rig, all equally likely before (M11). That is
// the posterior of one flight as the prior of the next; sums of logarithms in whole
// numbers make it the same in every order. A flight of which nothing was seen tells
// nothing: without a clip or a glance, no log says where the camera's thresholds
// are.
package season
