package files

import (
	"os"

	"golang.org/x/sys/unix"
)

// widenPipe enlarges a pipe to more than is read at once, so that its two ends
// take fewer turns. If that fails, the pipe stays as it is.
func widenPipe(file *os.File) {
	const most = 1 << 20 // bytes that any user may ask for, see pipe(7)
	if conn, err := file.SyscallConn(); err == nil {
		_ = conn.Control(func(fd uintptr) { _, _ = unix.FcntlInt(fd, unix.F_SETPIPE_SZ, most) })
	}
}
