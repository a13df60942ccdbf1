// Package term shows things in the terminal: the viewer of a replay, practice, a
// tally while it happens, and what every full-screen program of flicktally
// stands on.
//
// The parts, in the order in which an event passes through them:
//
//	terminal ─► Tty (stamps keys) ─► session ─► Program.Handle ─► Program.Draw ─► Canvas ─► changed cells
//
// A [Program] is a value without a screen, a clock or a goroutine: it is handed
// [Event] values that carry their own times, and draws its whole picture on a
// [Canvas] when asked. [Run] is the one place that owns the terminal: it stamps,
// sends, draws what changed, suspends, and gives the terminal back whatever
// happens. [Print] shows the same picture as plain lines where no screen can be
// had.
//
// All are left alike: ctrl-c quits at once, wherever one is, and q quits, or ends
// what is in front: the help, a drill. Live wants q twice, since a slip is not to
// end a tally.
//
// The viewer is such a program in three: view_state.go and its neighbours know
// no screen, view_input.go turns events into calls on the state, and
// view_draw.go only draws.
//
// [Practise] is another: practise_state.go holds what lasts, each of its pages
// has a file for state and keys, and the practise_draw files only draw. What is
// judged is up to package trainer, what is kept up to its [Notebook]. [Live] is
// the third, over a [Stream] that tells what the camera should be doing now.
package term
