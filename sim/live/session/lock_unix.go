//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package session

import (
	"os"

	"golang.org/x/sys/unix"
)

// lock locks a file against other programs, without waiting if one has it. The
// lock ends with the process, so a killed one leaves none behind.
func lock(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	switch err {
	case unix.EWOULDBLOCK:
		return ErrInUse
	case unix.ENOLCK, unix.ENOTSUP, unix.ENOSYS:
		return nil // the file system has no locks
	}
	return err
}
