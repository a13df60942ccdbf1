// Package viewer shows replays in the terminal.
//
// [Viewer] is a program of package term in three parts: state.go, window.go and
// text.go know no screen, input.go turns events into calls on the state, and
// draw.go and plot.go only draw.
package viewer
