//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package history

import (
	"os"

	"golang.org/x/sys/unix"
)

// lock waits until no other program has the lock. The lock ends with the
// process, so a killed one leaves none behind.
func lock(f *os.File) error {
	for {
		err := unix.Flock(int(f.Fd()), unix.LOCK_EX)
		if err != unix.EINTR {
			return err
		}
	}
}

func unlock(f *os.File) error { return unix.Flock(int(f.Fd()), unix.LOCK_UN) }
