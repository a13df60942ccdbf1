// Package fit measures a camera's press window from bench trials: holds of
// known length, and what the camera did on each.
//
//	window, err := fit.Fit(trials, fit.Options{})
//	window.MinPress.Range   // what goes into the rig
//	next, more := window.Next(2 * sim.Millisecond)
//
// # The model
//
// A trial of hold h does something with chance F((h − m)/s); if it does
// something, it is long with chance F((h − l)/r). m and l are the thresholds
// min_press and long_press, s and r say how sharp they are, and F is the
// logistic or the normal distribution ([Logistic], [Probit]). A long action thus
// takes a press that does something, so the thresholds are in order, and the
// likelihood is a product of two, one for each threshold: all trials tell about
// the first, those that did something about the second (the continuation-ratio
// model: Agresti, Categorical Data Analysis, section on ordinal responses). Each
// is a regression with a binary outcome ([FitCurve]).
//
// The maximum is found by Fisher scoring (McCullagh and Nelder, Generalized
// Linear Models, section 2.5). Standard errors come from the expected
// information, of the threshold −a/b by the delta method. The interval of a
// threshold is that of the profile likelihood: all places at which the best
// curve through them is not significantly worse than the best of all; Fieller's
// interval is there beside it. Both hold approximately, and better with more
// trials.
//
// # Trials without overlap
//
// A camera with a sharp threshold, and trials without mistakes, leave no
// overlap: every shorter hold did nothing, every longer one did something. No
// curve is best then, the steeper the better. What is proven is a bracket: the
// threshold is above the one hold and not above the other. The result gives
// that, and no curve.
package fit
