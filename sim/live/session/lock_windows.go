package session

import (
	"os"

	"golang.org/x/sys/windows"
)

// lock keeps other programs from a file, without waiting for one that has it. The
// lock goes with the process, so a killed one leaves none behind. It is on a byte
// that no record has, since what is locked here cannot be read.
func lock(f *os.File) error {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if err == windows.ERROR_LOCK_VIOLATION {
		return ErrInUse
	}
	return err
}
