// Package belief replays a flight with its doubts (M9, M11): the camera's
// thresholds may be known only as ranges and its state at the start not at all,
// and the log, the camera and its observer may have erred. It returns the
// chance that the camera was recording at each moment, which presses are
// doubtful, and what a glance at the camera's light, or the list of clips on
// its card, says about all that.
//
//	result, err := belief.Resolve(replay, belief.Observations{
//		Seen: []belief.Glance{{At: 12 * sim.Second, Light: belief.LightRecording}},
//	})
//	result.Replay   // the likeliest history, with Belief and Doubtful set
//
// # The mathematics without doubt about the model (M9)
//
// The unknowns are min_press, long_press and the state at the start. They are
// the same for every press of a flight. A priori each threshold is uniform on
// its range, both are independent, and both start states are equally likely.
// The prior is thus a constant density on a rectangle, once for each start.
//
// Thresholds are real numbers; events fall on whole µs. The [sim.Camera] runs
// at a point of the rectangle and reports every comparison that it makes
// ([sim.Camera.Watch]). Each side of a comparison is a constant, or moves with
// one threshold with slope 1. So each comparison is true on one side of a line
// min = c, long = c or long − min = c, with c a whole number. All comparisons
// of one run together cut out the cell of the point: the convex set of
// thresholds with which everything happens in the same order. What each
// comparison cuts off is explored in turn, until the rectangle is covered. Each
// cell is met exactly once, so their number is that of the distinct orders of
// events: at most about the product of the holds that fall into the two ranges,
// however many presses there are.
//
// To tell which threshold a moment moves with, the camera runs in quarters of a
// µs. Events fall on multiples of four, min_press is odd and long_press twice
// an odd number, so a moment modulo four identifies its threshold. Every cell
// with an area contains such a point.
//
// Within a cell a take runs from one such moment to another. The chance that
// the camera records at t is the sum, over cells and takes, of the cell's weight
// times P(start ≤ t) − P(end ≤ t): each is the cumulative share of the cell
// along one threshold. For a rectangular cell that is linear in t between its
// ends; where a line long − min = c cuts a cell aslant (a camera that toggles on
// the press, and its long press close to the end of its starting time), it is
// quadratic there and given as short chords, exact at their ends and within
// 0.0001 between.
//
// # Observations
//
// By Bayes' rule the weight of each point is multiplied by the chance of the
// observation there. A glance at the light is taken as true: the factor is 1
// where the state explains it, else 0. So it cuts cells, and their density
// stays constant. The card's clips are explained by the takes in order, clip
// for take, if every length, and every time between the starts of two clips, is
// right to within the stated error. Anything within it is equally likely, and
// the offset of the card's clock drops out because only times between starts
// count. So clips, too, only cut. A take that was running at the log's ends, or
// when the camera's state became unknown, may be longer than the log shows.
//
// If no point explains all observations, the fewest are given up (a glance, a
// file without a take, a take without a file count one each). That is the limit
// of Bayes' rule when each kind of error is possible but rare. The result says
// which were given up.
//
// # The mathematics of doubt (M11)
//
// With thresholds at one point, a flight is a hidden Markov chain. It is cut
// into sections, each from one press to the next. Between two of them the
// camera is in one of few states (its state, and when it leaves it), and
// [sim.Camera] itself leads from one to the next, once for each outcome of the
// press: short, toggle, long, ignored. The states of a section are nodes, the
// ways between them are edges, and equal states share a node. The whole is a
// trellis, whose size grows only with the presses.
//
// The chance of a outcome depends on the thresholds. A logged hold w, whose edges
// may have come earlier by up to a and b, is w + U − V with U and V uniform on
// [0, a] and [0, b]; its distribution F consists of three parabolas. So a press
// is short with the chance F(min_press), long with 1 − F(long_press), else a
// toggle. A glance at the state in a section is a weight of its edges.
//
// With a card's list, a node is also a place in the list: the next clip, when
// the running take began, and the remaining range of the card's clock offset.
// Where a take ends, one edge leaves it without a clip, and one for each clip
// that fits pairs them and skips those before it, so that each order-preserving
// matching is one path. A clip without a take counts against a path as soon as
// too few takes are left for it, so many older clips at the front of a list are
// no worse than many later ones at its end. Nodes that weigh less than 1e-12 of
// the best, even with the thresholds that suit them best, are dropped.
//
// Forward and backward sums over the trellis give the chance of each edge at
// one point, and a grid over both ranges sums over the points: two points for
// each piece (Gauss and Legendre), with pieces that end where a distribution
// changes its form or something jumps, and more of them where a first, coarse
// grid found more weight. A camera that toggles on the press needs a trellis
// for each point of min_press, since its busy times move with it. Sums are
// scaled, so that long flights do not underflow.
//
// A history is the start and the outcome of each press. Its weight is summed over
// matchings (a forward sum over its edges alone) and over the grid (a product
// of one factor for each threshold, except for presses between both). The
// search for the likeliest history starts from those that are likeliest at some
// point of the grid, and then changes one press at a time.
// A press that is still down has one outcome, open, for several outcomes. On
// small flights, with every history weighed one by one, the search always found
// the likeliest (TestTheLikeliestHistoryIsShown).
//
// What the rig rules out (a chance of 0 for misread, unlisted, foreign) weighs
// 1e-6: nothing beside any explanation, yet there is always one.
package belief
