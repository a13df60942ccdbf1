package livelines

import (
	"os/exec"
	"syscall"
)

// shell returns a command line as a command. The shell takes it as it is: quotes in
// it are not those that other programs read.
func shell(line string) *exec.Cmd {
	c := exec.Command("cmd")
	c.SysProcAttr = &syscall.SysProcAttr{CmdLine: `cmd /s /c "` + line + `"`}
	return c
}
