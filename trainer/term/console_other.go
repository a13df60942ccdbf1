//go:build !windows

package term

import "github.com/gdamore/tcell/v2"

// openTty opens the terminal of the process.
func openTty() (tcell.Tty, error) { return tcell.NewDevTty() }

// reportsReleases says whether the keyboard reports releases without being asked.
const reportsReleases = false
