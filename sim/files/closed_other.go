//go:build !windows

package files

import (
	"errors"
	"syscall"
)

// IsClosedPipe reports whether an error is that nobody reads any more.
func IsClosedPipe(err error) bool { return errors.Is(err, syscall.EPIPE) }
