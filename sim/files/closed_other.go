//go:build !windows

package files

import (
	"errors"
	"syscall"
)

// IsClosedPipe reports whether an error means that the reader has gone.
func IsClosedPipe(err error) bool { return errors.Is(err, syscall.EPIPE) }
