package session

import (
	"os"

	"golang.org/x/sys/windows"
)

// lock locks a file against other programs, without waiting if one has it. The
// lock ends with the process, so a killed one leaves none behind. It is on a
// byte beyond any record, since locked bytes cannot be read on this system.
func lock(f *os.File) error {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if err == windows.ERROR_LOCK_VIOLATION {
		return ErrInUse
	}
	return err
}
