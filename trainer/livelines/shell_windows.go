package livelines

import (
	"os/exec"
	"path/filepath"
	"syscall"

	"golang.org/x/sys/windows"
)

// shell returns a command line as a command. It is passed to the shell as it is,
// since the shell quotes in another way than other programs. The shell is that of
// the system, whatever the search path says.
func shell(line string) *exec.Cmd {
	path := "cmd.exe"
	if folder, err := windows.GetSystemDirectory(); err == nil {
		path = filepath.Join(folder, path)
	}
	c := exec.Command(path)
	c.SysProcAttr = &syscall.SysProcAttr{CmdLine: `cmd /s /c "` + line + `"`}
	return c
}
