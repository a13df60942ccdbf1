package main

import (
	"errors"
	"os"
	"os/exec"
	"syscall"

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

// isClosedPipe reports whether an error is that nobody reads any more.
func isClosedPipe(err error) bool {
	return errors.Is(err, windows.ERROR_BROKEN_PIPE) || errors.Is(err, windows.ERROR_NO_DATA) || errors.Is(err, windows.ERROR_PIPE_NOT_CONNECTED)
}

// shell returns a command line as a command. The shell takes it as it is: quotes in
// it are not those that other programs read.
func shell(line string) *exec.Cmd {
	c := exec.Command("cmd")
	c.SysProcAttr = &syscall.SysProcAttr{CmdLine: `cmd /s /c "` + line + `"`}
	return c
}
