// Package term is what every full-screen program of flicktally stands on: the
// viewer of a replay, practice, and the tally while it happens, each in a package
// of its own beside this one.
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
package term
