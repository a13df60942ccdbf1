//go:build !windows

package files

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// TestAReplacedFileKeepsItsRights, whether it is edited or written over.
func TestAReplacedFileKeepsItsRights(t *testing.T) {
	path := filepath.Join(t.TempDir(), "heron.toml")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
	rights := func() fs.FileMode {
		info, err := os.Stat(path)
		require.NoError(t, err)
		return info.Mode().Perm()
	}
	require.NoError(t, Edit(path, []byte("new")))
	require.Equal(t, fs.FileMode(0o600), rights())
	require.NoError(t, NewDesk(nil, io.Discard, nil).Write(path, true, func(io.Writer) error { return nil }))
	require.Equal(t, fs.FileMode(0o600), rights())
}

// TestANamedPipe is read as a stream and never written to.
func TestANamedPipe(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pipe")
	if err := unix.Mkfifo(path, 0o666); err != nil {
		t.Skip("no named pipes here: ", err)
	}
	writer, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	defer writer.Close()
	_, err = writer.WriteString("a log")
	require.NoError(t, err)
	desk := NewDesk(nil, io.Discard, func(string, ...any) {})
	stream, size, err := desk.Await(path)
	require.NoError(t, err)
	defer stream.Close()
	require.Zero(t, size)
	content := make([]byte, 5)
	_, err = io.ReadFull(stream, content)
	require.NoError(t, err)
	require.Equal(t, "a log", string(content))
	require.EqualError(t, desk.MayWrite(path, true), "found "+path+", which is no plain file, want the name of one")
}

// TestAFullDiskIsNamedWithoutTheTemporaryFile: the device /dev/full is always full.
func TestAFullDiskIsNamedWithoutTheTemporaryFile(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no such device here: ", err)
	}
	defer full.Close()
	n, err := namelessWriter{full}.Write([]byte("takes"))
	require.Zero(t, n)
	require.Equal(t, unix.ENOSPC, err)

	desk := NewDesk(nil, full, nil)
	takes := func(w io.Writer) error { _, err := w.Write([]byte("takes")); return err }
	require.ErrorIs(t, desk.Write("-", false, takes), unix.ENOSPC)
	require.ErrorContains(t, desk.Write("/dev/full", true, takes), "no plain file")
	require.ErrorIs(t, desk.wholly(Output{Path: "takes.csv", Write: takes}, false)(full), unix.ENOSPC)
}
