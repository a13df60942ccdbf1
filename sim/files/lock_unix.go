//go:build !windows

package files

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// Lock locks a file against other programs until the file is closed or the
// process ends. With wait it waits for a program that has the lock; else the
// error is then [ErrLocked]. The error is [errors.ErrUnsupported] on a file
// system without locks.
func Lock(f *os.File, wait bool) error {
	how := unix.LOCK_EX
	if !wait {
		how |= unix.LOCK_NB
	}
	for {
		switch err := unix.Flock(int(f.Fd()), how); err {
		case unix.EINTR:
		case unix.EWOULDBLOCK:
			return ErrLocked
		case unix.ENOLCK:
			return errors.ErrUnsupported
		default:
			return err
		}
	}
}
