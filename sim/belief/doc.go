// Package belief computes the posterior of a flight (M9, M11). The camera's
// thresholds may be known only as ranges and its state at the start not at all,
// and the log, the camera and its observer may have erred. The results are the
// chance that the camera was recording at each moment, which presses are
// doubtful, and what glances at the camera's light, or the list of clips on its
// card, say about all that.
//
//	result, err := belief.Resolve(replay, belief.Observations{
//		Seen: []belief.Glance{{At: 12 * sim.Second, Light: belief.LightRecording}},
//	})
//	result.Replay   // the likeliest history, with Belief and Doubtful set
//
// The unknowns are min_press, long_press and the state at the start. They are
// the same for every press of a flight. A priori each threshold is uniform on
// its range, both are independent, and both start states are equally likely.
//
// Without doubt about the model (M9) the posterior is exact: resolve.go. With
// doubt (M11) a flight is a hidden Markov model on a grid of thresholds:
// doubt.go.
//
// # Exact cells (M9)
//
// The prior is a constant density on a rectangle of thresholds, once for each
// start. Thresholds are real numbers; events fall on whole µs. The [sim.Camera]
// runs at a point of the rectangle and reports every comparison that it makes
// ([sim.Camera.Watch]). Each side of a comparison is a constant, or moves with
// one threshold with slope 1, so the comparison is true on one side of a line
// min = c, long = c or long − min = c, with c a whole number. All comparisons of
// one run cut out the cell of the point: the convex set of thresholds for which
// everything happens in the same order. What each comparison cuts off is
// explored in turn (explore.go), until the cells cover the rectangle. Their
// number is at most about the product of the holds that fall into the two
// ranges, however many presses there are.
//
// To find out which threshold a moment moves with, the camera runs in quarters
// of a µs. Events fall on multiples of four, min_press is odd and long_press
// twice an odd number, so a moment modulo four identifies its threshold. Every
// cell with an area contains such a point.
//
// The chance that the camera records at t is the sum, over cells and their takes,
// of the cell's weight times P(start ≤ t) − P(end ≤ t). Each of these is the
// cumulative share of the cell along one threshold. It is linear in t for a
// rectangular cell. Where a line long − min = c cuts the cell, it is quadratic
// and approximated by chords, exact at their ends and within 0.0001 between
// (curve.go).
//
// By Bayes' rule, an observation multiplies the density at each point by its
// likelihood there. Here the likelihood is 1 or 0, so observations only cut
// cells. A glance at the light fits if the state explains it. The card's clips
// fit if they match the takes one by one, and if every length, and every time
// between the starts of two clips, is right within the stated error. The unknown
// offset of the card's clock drops out. A take that was running at the log's
// ends, or when the camera's state became unknown, may be longer than the log
// shows.
//
// If no point explains all observations, the fewest are given up: a glance, a
// file without a take and a take without a file count one each. That is the
// limit of Bayes' rule for errors that are possible but rare. The result says
// which were given up.
//
// # A hidden Markov model on a grid (M11)
//
// For given thresholds, a flight is a hidden Markov model. It is divided into
// sections, each from one press to the next (section.go). The hidden state at
// the start of a section is the camera (its state, and when it leaves that
// state) with the place in the card's list. Each press has an outcome: short,
// toggles, long or ignored. [sim.Camera] computes the next state for each
// outcome. Sections are the stages of a trellis, hidden states its nodes,
// outcomes its branches; equal states share a node (trellis.go, transition.go).
//
// The chance of an outcome depends on the thresholds. A logged hold w, whose
// edges may have come earlier by up to a and b, is w + U − V with U and V uniform
// on [0, a] and [0, b]; its distribution F is quadratic by pieces (hold.go). So a
// press is short with the chance F(min_press), long with 1 − F(long_press), and
// else toggles. The weight of a branch is the likelihood of the glances in its
// section.
//
// If there is a list of clips, the hidden state includes the next clip, when the
// running take began, and the remaining range of the card's clock offset
// (list.go). Where a take ends, one branch leaves it without a clip, and one for
// each clip that fits matches them and skips the clips before, so each
// order-preserving matching is one path. A skipped clip lowers the weight of a
// path only when too few takes are left for it, so many older clips at the front
// of a list cost no more than many later ones at its end. Nodes whose weight is
// below 1e-12 of the best, even with the thresholds that suit them best, are
// pruned.
//
// A forward and a backward pass give the posterior of each branch for one pair
// of thresholds (filter.go), and a grid over both ranges sums over the pairs
// (grid.go, estimate.go). Each piece of a range has two Gauss-Legendre points.
// Pieces end where a distribution changes its form or a chance jumps, and a
// coarse grid decides where the fine grid is dense. A camera that toggles on the
// press needs a trellis for each grid point of min_press, since its busy times
// move with it. Weights are scaled, so long flights do not underflow.
//
// A history (the contract calls it a course) is a start and the outcome of every
// press. Its weight is summed over matchings, by a forward pass over its branches
// alone, and over the grid, by one factor for each threshold except for presses
// that depend on both. The search for the likeliest history starts from the
// Viterbi paths at some grid points and then changes one outcome at a time
// (history.go). A press that is still down is open whatever its outcome, so
// histories that differ only there count as one. On small flights, with every
// history weighed one by one, the search always found the likeliest
// (TestTheLikeliestHistoryIsShown).
//
// What the rig rules out (a chance of 0 for misread, unlisted, foreign) weighs
// 1e-6: far less than any explanation, but there is always one.
package belief
