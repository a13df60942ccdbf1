//go:build !windows

package main

import (
	"errors"
	"os"
	"os/exec"
	"syscall"
)

// showColours reports whether a terminal shows colours.
func showColours(*os.File) (shown bool, giveBack func()) { return true, func() {} }

// isClosedPipe reports whether an error is that nobody reads any more.
func isClosedPipe(err error) bool { return errors.Is(err, syscall.EPIPE) }

// shell returns a command line as a command.
func shell(line string) *exec.Cmd { return exec.Command("sh", "-c", line) }
