// Package viewer shows replays in the terminal.
//
// [Viewer] is a program of package term in three: state.go and its neighbours
// know no screen, input.go turns events into calls on the state, and draw.go and
// its neighbours only draw.
package viewer
