package files

import "errors"

// ErrLocked says that another program has the lock on a file.
var ErrLocked = errors.New("another program is writing to it")
