//go:build !windows

package livelines

import "os/exec"

// shell returns the command that runs a command line.
func shell(line string) *exec.Cmd { return exec.Command("sh", "-c", line) }
