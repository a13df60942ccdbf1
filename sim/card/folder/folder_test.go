package folder

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/bmff"
	"flicktally/sim/bmff/bmfftest"
	"flicktally/sim/card"
)

var dawn = time.Date(2026, 6, 14, 14, 3, 22, 0, time.UTC)

func write(t testing.TB, path string, data []byte, modified time.Time) {
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, data, 0o644))
	require.NoError(t, os.Chtimes(path, modified, modified))
}

func TestRead(t *testing.T) {
	root := t.TempDir()
	video := bmfftest.Video(41500*time.Millisecond, dawn)
	write(t, filepath.Join(root, "DCIM/100LAKE/LAKE0001.MP4"), video, dawn.Add(time.Minute))
	write(t, filepath.Join(root, "DCIM/100LAKE/LAKE0002.MP4"), bmfftest.NeverClosed(), dawn.Add(time.Hour))
	write(t, filepath.Join(root, "card.txt"), []byte("mine"), dawn)
	write(t, filepath.Join(root, "empty.mp4"), nil, dawn)
	require.NoError(t, os.Symlink(filepath.Join(root, "DCIM"), filepath.Join(root, "again")))
	before := listing(t, root)

	closed := bmff.Header{Length: 41500 * sim.Millisecond, Created: sim.Micros(dawn.UnixMicro()), Closed: true}
	first := card.File{Name: "DCIM/100LAKE/LAKE0001.MP4", Size: int64(len(video)), Modified: sim.Micros(dawn.Add(time.Minute).UnixMicro()), Header: closed}
	got, err := Read(root)
	require.NoError(t, err)
	require.Equal(t, []card.File{
		first,
		{Name: "DCIM/100LAKE/LAKE0002.MP4", Size: int64(len(bmfftest.NeverClosed())), Modified: sim.Micros(dawn.Add(time.Hour).UnixMicro())},
		{Name: "card.txt", Size: 4, Modified: sim.Micros(dawn.UnixMicro()), Err: bmff.ErrNoVideo},
		{Name: "empty.mp4", Modified: sim.Micros(dawn.UnixMicro()), Err: bmff.ErrNoVideo},
	}, got)
	require.Equal(t, before, listing(t, root), "nothing is written")

	got, err = Read(filepath.Join(root, "DCIM/100LAKE/LAKE0001.MP4"), filepath.Join(root, "card.txt"))
	require.NoError(t, err)
	first.Name = "LAKE0001.MP4"
	require.Equal(t, first, got[0])
	require.Len(t, got, 2)

	_, err = Read(filepath.Join(root, "nowhere"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	none, err := Read(t.TempDir())
	require.NoError(t, err)
	require.Empty(t, none)
}

// listing lists the name, size and times of every file.
func listing(t *testing.T, root string) string {
	var b strings.Builder
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := d.Info()
		fmt.Fprintln(&b, path, info.Mode(), info.Size(), info.ModTime())
		return err
	}))
	return b.String()
}

// fill makes a card with some videos.
func fill(t testing.TB, files int) string {
	root := t.TempDir()
	for n := range files {
		length := time.Duration(5+n%50) * time.Second
		write(t, filepath.Join(root, fmt.Sprintf("DCIM/%dLAKE/LAKE%05d.MP4", 100+n/1000, n)), bmfftest.Video(length, dawn.Add(time.Duration(n)*time.Minute)), dawn.Add(time.Duration(n)*time.Minute+length))
	}
	return root
}

// TestALargeCard: all clips of a card are read, in the order of their times.
func TestALargeCard(t *testing.T) {
	files, err := Read(fill(t, 1500))
	require.NoError(t, err)
	clips := card.New(files).Observed()
	require.Len(t, clips, 1500)
	for n, clip := range clips {
		require.Equal(t, fmt.Sprintf("LAKE%05d.MP4", n), clip.Name)
		require.Equal(t, sim.Micros(5+n%50)*sim.Second, clip.Length)
	}
}
