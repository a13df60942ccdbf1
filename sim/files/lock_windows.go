package files

import (
	"os"

	"golang.org/x/sys/windows"
)

// Lock locks a file against other programs until the file is closed or the
// process ends. With wait it waits for a program that has the lock; else the
// error is then [ErrLocked]. The lock is on a byte beyond any content, as locked
// bytes cannot be read on this system.
func Lock(f *os.File, wait bool) error {
	how := uint32(windows.LOCKFILE_EXCLUSIVE_LOCK)
	if !wait {
		how |= windows.LOCKFILE_FAIL_IMMEDIATELY
	}
	err := windows.LockFileEx(windows.Handle(f.Fd()), how, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if err == windows.ERROR_LOCK_VIOLATION {
		return ErrLocked
	}
	return err
}
