// Package term is the base of every full-screen program of flicktally: the
// viewer of a replay, practice, and the live tally, each in its own package
// beside this one.
//
// The parts, in the order of an event's path:
//
//	terminal ─► Tty (stamps keys) ─► session ─► Program.Handle ─► Program.Draw ─► Canvas ─► changed cells
//
// A [Program] is a value without a screen, a clock or a goroutine: it receives
// [Event] values that carry their own times, and draws its whole picture on a
// [Canvas] when asked. Only [Run] owns the terminal: it stamps, sends, draws
// what changed, suspends, and restores the terminal whatever happens. [Print]
// shows the same picture as plain lines if there is no screen.
//
// All are left in the same way: ctrl-c quits at once, anywhere, and q quits or
// closes what is in front: the help, a drill. Live wants q twice, since a slip
// must not end a tally.
package term
