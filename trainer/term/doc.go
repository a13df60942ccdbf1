// Package term is the base of every full-screen program of flicktally: the
// viewer of a replay, practice, and the live tally, each in its own package
// beside this one.
//
// The parts, in the order of an event's path:
//
//	terminal ─► Tty (stamps keys) ─► session ─► Program.Handle ─► Program.Draw ─► Canvas ─► changed cells
//
// A [Program] has no screen, clock or goroutine: it receives [Event] values that
// carry their times, and draws its whole picture on a [Canvas] when asked. Only
// [Run] owns the terminal: it stamps and passes on events, draws what changed,
// suspends, and restores the terminal whatever happens. [Print] returns the same
// picture as lines of text if there is no screen.
//
// All programs end in the same way: ctrl-c quits at once, anywhere, and q quits, or
// closes the help or the drill in front. Live needs q twice, so that a slip does
// not end a tally.
package term
