package livelines

import (
	"os/exec"
	"path/filepath"
	"syscall"

	"golang.org/x/sys/windows"
)

// shell returns the command that runs a command line. The line is not quoted, as the
// shell reads quotes differently from other programs. The shell is always the
// system's, even if the search path has another.
func shell(line string) *exec.Cmd {
	path := "cmd.exe"
	if folder, err := windows.GetSystemDirectory(); err == nil {
		path = filepath.Join(folder, path)
	}
	c := exec.Command(path)
	c.SysProcAttr = &syscall.SysProcAttr{CmdLine: `cmd /s /c "` + line + `"`}
	return c
}
