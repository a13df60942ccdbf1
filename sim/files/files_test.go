package files_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim/files"
	"flicktally/sim/problem"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// holds checks the contents of a folder.
func holds(t *testing.T, folder string, want map[string]string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	found := map[string]string{}
	for _, e := range entries {
		content, err := os.ReadFile(filepath.Join(folder, e.Name()))
		require.NoError(t, err)
		found[e.Name()] = string(content)
	}
	require.Equal(t, want, found)
}

func TestAFileIsWrittenWholeOrNotAtAll(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "takes.csv")
	desk := files.NewDesk(nil, io.Discard, nil)
	torn := errors.New("the log breaks off")
	half := func(w io.Writer) error { return errors.Join(text("half")(w), torn) }

	require.ErrorIs(t, desk.Write(path, false, half), torn)
	holds(t, folder, map[string]string{})
	require.NoError(t, desk.Write(path, false, text("whole")))
	require.ErrorIs(t, desk.Write(path, true, half), torn)
	holds(t, folder, map[string]string{"takes.csv": "whole"})

	err := desk.Write(path, false, text("other"))
	require.Equal(t, "found "+path+" already there, want a new file\n  → --force overwrites it", problem.Explain(err))
	require.NoError(t, desk.Write(path, true, text("other")))
	holds(t, folder, map[string]string{"takes.csv": "other"})
}

func TestOneThatIsThereStopsAll(t *testing.T) {
	folder := t.TempDir()
	first, second := filepath.Join(folder, "1.vcd"), filepath.Join(folder, "2.vcd")
	desk := files.NewDesk(nil, io.Discard, nil)
	require.NoError(t, os.WriteFile(second, []byte("mine"), 0o666))
	require.Error(t, desk.WriteAll([]files.Output{{Path: first, Write: text("1")}, {Path: second, Write: text("2")}}, false))
	holds(t, folder, map[string]string{"2.vcd": "mine"})
	require.ErrorContains(t, desk.WriteAll([]files.Output{{Path: first, Write: text("1")}, {Path: filepath.Join(folder, ".", "1.vcd"), Write: text("2")}}, true), "as two outputs")
}

// A file that appears while the result is written is not overwritten.
func TestAFileThatCameMeanwhile(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "takes.csv")
	err := files.NewDesk(nil, io.Discard, nil).Write(path, false, func(w io.Writer) error {
		return errors.Join(os.WriteFile(path, []byte("mine"), 0o666), text("ours")(w))
	})
	require.ErrorContains(t, err, "already there")
	holds(t, folder, map[string]string{"takes.csv": "mine"})
}

func TestWhatWasReadIsNeverWrittenOver(t *testing.T) {
	folder := t.TempDir()
	log, link := filepath.Join(folder, "lake.csv"), filepath.Join(folder, "link.csv")
	require.NoError(t, os.WriteFile(log, []byte("a log"), 0o666))
	require.NoError(t, os.Link(log, link))
	desk := files.NewDesk(nil, io.Discard, nil)
	require.NoError(t, desk.Check([]string{log}, nil), "it has not been read yet")
	file, size, err := desk.Open(log)
	require.NoError(t, err)
	file.Close()
	require.EqualValues(t, 5, size)
	for _, path := range []string{log, link} {
		require.Equal(t, problem.Usage, problem.KindOf(desk.Write(path, true, text("gone"))))
		require.ErrorContains(t, desk.Check([]string{path}, nil), "as both input and output")
	}
	require.NoError(t, desk.Check(nil, []string{log}), "a file that is changed may be an input")
	require.ErrorContains(t, desk.Check([]string{filepath.Join(folder, "new.png")}, []string{filepath.Join(folder, ".", "new.png")}), "as two outputs")

	other := files.NewDesk(nil, io.Discard, nil)
	other.ReadsAll(folder)
	require.ErrorContains(t, other.MayWrite(log, true), "as both input and output")
}

func TestAFolderIsNoFile(t *testing.T) {
	folder := t.TempDir()
	desk := files.NewDesk(nil, io.Discard, nil)
	_, _, err := desk.Open(folder)
	require.ErrorContains(t, err, "is a folder, want a file")
	require.ErrorContains(t, desk.MayWrite(folder, true), "no plain file")
}

func TestDashIsStandardOutput(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, files.NewDesk(nil, &out, nil).Write("-", false, text("takes")))
	require.Equal(t, "takes", out.String())
}

func TestEditFollowsALink(t *testing.T) {
	folder := t.TempDir()
	rig, link := filepath.Join(folder, "heron.toml"), filepath.Join(folder, "rig.toml")
	require.NoError(t, os.WriteFile(rig, []byte("old"), 0o600))
	if err := os.Symlink("heron.toml", link); err != nil {
		t.Skip("no links here: ", err)
	}
	require.NoError(t, files.Edit(link, []byte("new")))
	holds(t, folder, map[string]string{"heron.toml": "new", "rig.toml": "new"})
	there, err := os.Lstat(link)
	require.NoError(t, err)
	require.NotZero(t, there.Mode()&os.ModeSymlink)
}
