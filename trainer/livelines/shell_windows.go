package livelines

import (
	"os/exec"
	"syscall"
)

// shell returns a command line as a command. It is passed to the shell as it is,
// since the shell quotes in another way than other programs.
func shell(line string) *exec.Cmd {
	c := exec.Command("cmd")
	c.SysProcAttr = &syscall.SysProcAttr{CmdLine: `cmd /s /c "` + line + `"`}
	return c
}
