package files

import (
	"errors"

	"golang.org/x/sys/windows"
)

// IsClosedPipe reports whether an error means that the reader has gone.
func IsClosedPipe(err error) bool {
	return errors.Is(err, windows.ERROR_BROKEN_PIPE) || errors.Is(err, windows.ERROR_NO_DATA) || errors.Is(err, windows.ERROR_PIPE_NOT_CONNECTED)
}
