//go:build !windows

package livelines

import "os/exec"

// shell returns a command line as a command.
func shell(line string) *exec.Cmd { return exec.Command("sh", "-c", line) }
