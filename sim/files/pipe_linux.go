package files

import (
	"os"

	"golang.org/x/sys/unix"
)

// widenPipe lets a pipe hold as much as is read at once and more, so that its
// two ends take fewer turns. What cannot be widened stays as it is.
func widenPipe(file *os.File) {
	const most = 1 << 20 // bytes that any user may ask for, see pipe(7)
	if conn, err := file.SyscallConn(); err == nil {
		_ = conn.Control(func(fd uintptr) { _, _ = unix.FcntlInt(fd, unix.F_SETPIPE_SZ, most) })
	}
}
