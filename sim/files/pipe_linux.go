package files

import (
	"os"

	"golang.org/x/sys/unix"
)

// widenPipe enlarges the buffer of a pipe, so that its two ends take turns less
// often. It ignores errors.
func widenPipe(file *os.File) {
	const most = 1 << 20 // bytes that any user may ask for, see pipe(7)
	if conn, err := file.SyscallConn(); err == nil {
		_ = conn.Control(func(fd uintptr) { _, _ = unix.FcntlInt(fd, unix.F_SETPIPE_SZ, most) })
	}
}
