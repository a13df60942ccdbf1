//go:build !windows

package term

import "github.com/gdamore/tcell/v2"

// openTty opens the terminal of the process.
func openTty() (tcell.Tty, error) { return tcell.NewDevTty() }

// tellsReleases says that the keyboard reports releases unasked.
const tellsReleases = false
