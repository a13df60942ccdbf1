package session

import (
	"context"
	"io"
)

// Serial returns what reads a serial device at a speed in baud.
func Serial(path string, baud uint32, open Opener) Input {
	return streamInput(path, open, func(context.Context) (io.ReadCloser, error) { return openSerial(path, baud) })
}
