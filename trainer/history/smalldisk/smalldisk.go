//go:build linux

// Package smalldisk mounts a small file system, for tests with a full disk.
package smalldisk

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// New mounts a file system in memory with a size in bytes, and returns its folder. It
// skips the test if that is not permitted.
func New(t testing.TB, size int) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "small disk")
	require.NoError(t, os.Mkdir(folder, 0o700))
	if err := syscall.Mount("none", folder, "tmpfs", 0, fmt.Sprintf("size=%d", size)); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	t.Cleanup(func() { require.NoError(t, syscall.Unmount(folder, syscall.MNT_DETACH)) })
	return folder
}

// Fill fills the disk until at most free bytes, in whole pages, are left. It returns
// the file that it wrote.
func Fill(t testing.TB, folder string, free int) string {
	t.Helper()
	var disk syscall.Statfs_t
	require.NoError(t, syscall.Statfs(folder, &disk))
	filler := filepath.Join(folder, "filler")
	require.NoError(t, os.WriteFile(filler, make([]byte, max(0, int(disk.Bfree)*int(disk.Bsize)-free)), 0o600))
	return filler
}
