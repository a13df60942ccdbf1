// Package odds computes the chance that a flick toggles the camera, as a function of
// the intended hold, given the scatter and the slips of the hand and the effects of
// the rig. It finds the best hold and the band of safe holds, the chance that a
// whole flight succeeds, and what to change.
//
//	c := odds.Case{Rig: rig, Pilot: odds.Pilot{Spread: odds.Spread{Relative: 0.1}}}
//	if err := c.Check(); err != nil { … }
//	study := c.Study(0.99, odds.Sampling{Flicks: 1 << 16})
//	study.Aim, study.Saves(), study.Band
//	c.Changes(200*sim.Millisecond, []sim.Micros{study.Aim.Hold}, odds.Sampling{Flicks: 1 << 20})
//
// The package starts no goroutine. A caller may run the pieces of the work on
// several processors ([Sampling.Each]); the result is the same.
//
// # The mathematics
//
// A hold meant to be h is normal about h (see [Spread]), or a slip (see
// [Slips]): a mixture of distributions, which every step maps part by part. On
// its way the press changes its length, never its number, as long as the
// contacts do not bounce and the link is not lost. So a flick is a random
// width, and every step of the rig maps one distribution of widths to another:
//
//   - Link and line look at the switch every T, at a phase that is uniform over
//     T and independent. A press of width w is seen at least q times with chance
//     clamp(w/T − q + 1, 0, 1). That is the chance that w reaches a length uniform
//     on (q−1)·T to q·T, so the chance for a random width W is the mean of
//     P(W ≥ c) over those c.
//   - With W normal that mean is [E(W−a)⁺ − E(W−b)⁺]/(b−a), and
//     E(W−c)⁺ = (μ−c)·Φ((μ−c)/σ) + σ·φ((μ−c)/σ). With W a multiple of another
//     period it is a finite sum.
//   - Frames lost with chance l, independently, delay the start and the end by
//     geometric numbers of frames (function lossy).
//   - Settle leaves out what is not longer than itself. A one-shot turns what is
//     left into its own width, or, on both edges, any move of the switch.
//   - The camera toggles with chance P(W ≥ min_press) − P(W ≥ long_press). A
//     threshold that is known as a range only is uniform on it (M9): the same mean
//     once more.
//   - All of N flicks of a flight toggle with chance E[p(window)^N], the window
//     being the same for all: a sum over the pieces of both ranges in which P(W ≥ c)
//     is constant, by Gauss-Legendre quadrature where it is not.
//
// Widths are taken as real numbers where the model has whole µs. With a spread of
// 1 ms, that moves a chance by less than 0.0005; with 20 ms by less than 0.00003.
//
// If the contacts bounce, or so many frames are lost that signal_loss acts, a
// flick can break up into several presses. Such flicks are played through the real
// [sim.Chain], behind its link, and counted; the standard error of a chance p from
// n flicks is √(p(1−p)/n). Other flicks can be simulated in a few operations each
// ([Case.Simulate]). The tests compare these with the real chain, flick by flick on
// random rigs, and the closed forms with both.
//
// # Assumptions
//
// The link is up when the flick starts. The camera is ready and remains so: a
// flick too soon after another is not modelled. Flicks are independent apart
// from the press window. Bounce is one break after each move of the hand,
// within a time that is uniform from 0 to Pilot.Bounce, its two ends uniform in
// that time. A bad switch bounced for 6.2 ms, good ones for 1.6 ms on average
// (J. Ganssle, A Guide to Debouncing, quoted second-hand).
package odds
