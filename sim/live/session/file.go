package session

import (
	"context"
	"errors"
	"io"
	"os"
	"time"
)

// Follow returns what reads a file and waits at its end for more.
func Follow(path string, open Opener) Input {
	return streamInput(path, open, func(ctx context.Context) (io.ReadCloser, error) {
		file, err := os.Open(path)
		return &growingFile{file, ctx, 0}, err
	})
}

// growingFile waits at its end for more, until its context is done.
type growingFile struct {
	*os.File
	ctx  context.Context
	read int64
}

// lookForMore is how often a file is looked at for more.
const lookForMore = 50 * time.Millisecond

func (g *growingFile) Read(p []byte) (int, error) {
	for {
		n, err := g.File.Read(p)
		g.read += int64(n)
		if n > 0 || err != io.EOF {
			return n, err
		}
		if info, err := g.Stat(); err == nil && info.Size() < g.read {
			return 0, errors.New("the file was cut while it was read")
		}
		select {
		case <-g.ctx.Done():
			return 0, io.EOF
		case <-time.After(lookForMore):
		}
	}
}
