// Package fit measures a camera's press window from bench trials: holds of
// known length and what the camera did at each.
//
//	window, err := fit.Fit(trials, fit.Options{})
//	minPress, err := window.MinPress.ForRig()
//	next, more := window.Next(fit.DefaultGoal)
//
// # The model
//
// A threshold may jitter from press to press. A trial of hold h does something
// with chance F((h − m)/s); if it does something, it is long with chance F((h −
// l)/r). m and l are the thresholds min_press and long_press, s and r how much
// they jitter, and F is the logistic or the normal distribution ([Logistic],
// probit). The likelihood is a product of two, one for each threshold: all
// trials bear on the first, those that did something on the second (the
// continuation-ratio model: Agresti, Categorical Data Analysis, section on
// ordinal responses). One trial in 500 may be a mistake: a word mistyped, a
// camera that was not ready.
//
// # Ranges
//
// Threshold and jitter get their chances by Bayes' rule on a grid. The prior is
// weak for the threshold; for the jitter it says that more than 20 ms (100 ms
// for long_press) is rare. The range is the central interval of the threshold,
// so it allows for a jitter that no trial has shown yet. It is never narrower
// than the bracket between the longest hold that did not reach the threshold
// and the shortest that did. The rig file gets the holds from 2.5 to 97.5 % of
// the response, over all possible thresholds and jitters: trials that agree do
// not prove that a threshold never jitters. If longer holds do less, that
// threshold gets no range.
//
// For comparison there are the curve of maximum likelihood (fitCurve, by Fisher
// scoring: McCullagh and Nelder, Generalized Linear Models, section 2.5) with
// Fieller's interval, and spearmanKarber.
//
// # Trials
//
// The next hold is the one after which the entropy of threshold and jitter
// together is expected to be smallest: the psi method (Kontsevich and Tyler,
// Vision Research 39, 1999). It returns to holds near the threshold, which
// bisection never does, and so sees jitter. Trials end when both ranges are as
// narrow as wanted; after 20 if no trial contradicts another and the brackets
// are narrow enough; or at 30.
//
// # How often the ranges are right
//
// Simulated sessions at the bench, 250 for each normal jitter of min_press (standard
// deviation; five times as much for long_press), thresholds anywhere from 30 to
// 300 ms and from 0.7 to 3.5 s, logistic curve (TestBenchCoverage). "Right" is
// the share of sessions whose range of 95 % contains the threshold, "narrow"
// that of ranges as narrow as wanted at the end, "presses" how many presses
// have their threshold in what goes into the rig file; min_press first, then
// long_press.
//
//	jitter   right        narrow       presses      trials
//	 0 ms    100 %  100 %  100 %   96 %  100 %  100 %  17, at most 20
//	 1 ms    100 %  100 %  100 %   94 %  100 %  100 %  17, at most 23
//	 4 ms    100 %  100 %  100 %   96 %  100 %  100 %  19, at most 30
//	10 ms     93 %   91 %   93 %   89 %   93 %   92 %  22, at most 30
//	20 ms     74 %   76 %   70 %   68 %   73 %   73 %  25, at most 30
//
// A jitter of 20 ms is beyond what the prior considers likely, and sessions end
// too early. Most misses at 10 ms are sessions in which no trial contradicted
// another before the ranges were narrow: a smaller --width asks for more
// trials.
package fit
