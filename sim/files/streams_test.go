package files_test

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim/files"
)

// await reads an input to its end.
func await(t *testing.T, desk *files.Desk, path string) (content string, size int64) {
	t.Helper()
	stream, size, err := desk.Await(path)
	require.NoError(t, err)
	read, err := io.ReadAll(stream)
	require.NoError(t, err)
	require.NoError(t, stream.Close())
	return string(read), size
}

// TestDashIsStandardInput: it is read from a pipe or a file, and is never closed.
func TestDashIsStandardInput(t *testing.T) {
	in, out, err := os.Pipe()
	require.NoError(t, err)
	defer in.Close()
	_, err = out.WriteString("a log")
	require.NoError(t, err)
	require.NoError(t, out.Close())
	desk := files.NewDesk(in, io.Discard, func(string, ...any) {})
	content, size := await(t, desk, "-")
	require.Equal(t, "a log", content)
	require.Zero(t, size, "unknown")
	require.NoError(t, in.Close(), "it was still open")
	require.Equal(t, "standard input", files.NameOf("-"))
	require.Equal(t, "lake.csv", files.NameOf("lake.csv"))
}

func TestAwaitReadsFiles(t *testing.T) {
	folder := t.TempDir()
	lake, empty := filepath.Join(folder, "lake.csv"), filepath.Join(folder, "empty.csv")
	require.NoError(t, os.WriteFile(lake, []byte("a log"), 0o666))
	require.NoError(t, os.WriteFile(empty, nil, 0o666))
	desk := files.NewDesk(nil, io.Discard, func(string, ...any) {})
	content, size := await(t, desk, lake)
	require.Equal(t, "a log", content)
	require.EqualValues(t, 5, size)
	content, size = await(t, desk, empty)
	require.Empty(t, content)
	require.Zero(t, size)
	for _, path := range []string{lake, empty} {
		require.ErrorContains(t, desk.MayWrite(path, true), "as both input and output")
	}

	_, _, err := desk.Await(filepath.Join(folder, "none.csv"))
	require.ErrorIs(t, err, os.ErrNotExist)
	_, _, err = desk.Await(folder)
	require.EqualError(t, err, folder+" is a folder, want a file")
}

// TestStatFailsAsOpenDoes: the user sees the same error, whichever comes first.
func TestStatFailsAsOpenDoes(t *testing.T) {
	file := filepath.Join(t.TempDir(), "lake.csv")
	require.NoError(t, os.WriteFile(file, []byte("a log"), 0o666))
	info, err := files.Stat(file)
	require.NoError(t, err)
	require.EqualValues(t, 5, info.Size())
	for _, path := range []string{file + ".none", filepath.Join(file, "below")} {
		_, opened := os.Open(path)
		_, err := files.Stat(path)
		require.EqualError(t, err, opened.Error())
	}
}

// TestOneProgramHasTheLock: a second one is refused until the first closes the file.
func TestOneProgramHasTheLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal")
	open := func() *os.File {
		file, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o666)
		require.NoError(t, err)
		t.Cleanup(func() { file.Close() })
		return file
	}
	first, second := open(), open()
	require.NoError(t, files.Lock(first, true))
	require.ErrorIs(t, files.Lock(second, false), files.ErrLocked)
	require.NoError(t, first.Close())
	require.NoError(t, files.Lock(second, false))

	err := files.Lock(first, false)
	require.Error(t, err, "the file is closed")
	require.NotErrorIs(t, err, files.ErrLocked)
}

func TestTheReaderHasGone(t *testing.T) {
	in, out, err := os.Pipe()
	require.NoError(t, err)
	defer out.Close()
	require.NoError(t, in.Close())
	_, err = out.WriteString("take 1")
	require.True(t, files.IsClosedPipe(err), err)
	require.False(t, files.IsClosedPipe(os.ErrClosed))
	require.False(t, files.IsClosedPipe(nil))
}
