package main

import (
	"os"

	"golang.org/x/sys/windows"
)

// showColours has the console of standard output take colours as terminals do. It
// reports whether that is so, and returns what gives the console back as it was. Text
// goes there in UTF-16, so the console's code page plays no part.
func showColours(out *os.File) (shown bool, giveBack func()) {
	console := windows.Handle(out.Fd())
	var mode uint32
	if windows.GetConsoleMode(console, &mode) != nil ||
		windows.SetConsoleMode(console, mode|windows.ENABLE_PROCESSED_OUTPUT|windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING) != nil {
		return false, func() {} // before Windows 10
	}
	return true, func() { _ = windows.SetConsoleMode(console, mode) }
}
