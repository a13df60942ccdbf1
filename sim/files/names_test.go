package files_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim/files"
	"flicktally/sim/problem"
)

// link makes a link, or skips the test.
func link(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Skip("no links here: ", err)
	}
}

// TestTwoNamesOfAFileThatIsNotThere: outputs are compared through the links of their
// folders, and by their full names if the folder is missing, too.
func TestTwoNamesOfAFileThatIsNotThere(t *testing.T) {
	folder := t.TempDir()
	real, linked := filepath.Join(folder, "real"), filepath.Join(folder, "linked")
	require.NoError(t, os.Mkdir(real, 0o777))
	link(t, "real", linked)
	t.Chdir(folder)
	there := filepath.Join(real, "there.png")
	require.NoError(t, os.WriteFile(there, nil, 0o666))

	desk := files.NewDesk(nil, io.Discard, nil)
	for _, pair := range [][2]string{
		{"real/a.png", filepath.Join(linked, "a.png")},
		{filepath.Join("none", "a.png"), filepath.Join(folder, "none", "a.png")},
		{there, filepath.Join(linked, "there.png")},
		{"-", "-"},
	} {
		err := desk.Check([]string{pair[0], pair[1]}, nil)
		require.Equal(t, problem.Usage, problem.KindOf(err), pair)
		require.EqualError(t, err, "found "+pair[1]+" as two outputs, want a file for each")
	}
	require.NoError(t, desk.Check([]string{"real/a.png", "a.png", there, "none/a.png", "-"}, nil))
}

// TestALinkIsReplaced: the file that it leads to stays.
func TestALinkIsReplaced(t *testing.T) {
	folder := t.TempDir()
	name := filepath.Join(folder, "takes.csv")
	require.NoError(t, os.WriteFile(filepath.Join(folder, "mine.csv"), []byte("mine"), 0o666))
	desk := files.NewDesk(nil, io.Discard, nil)
	for _, to := range []string{"mine.csv", "none.csv"} {
		link(t, to, name)
		require.ErrorContains(t, desk.Write(name, false, text("takes")), "already there", to)
		require.NoError(t, desk.Write(name, true, text("takes")))
		holds(t, folder, map[string]string{"mine.csv": "mine", "takes.csv": "takes"})
		require.NoError(t, os.Remove(name))
	}
}

// TestAFolderThatIsMissing: the error names the output and no temporary file.
func TestAFolderThatIsMissing(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "file"), nil, 0o666))
	desk := files.NewDesk(nil, io.Discard, nil)
	for _, below := range []string{"none", "file"} {
		path := filepath.Join(folder, below, "takes.csv")
		_, want := os.Open(path)
		err := desk.Write(path, true, text("takes"))
		require.ErrorContains(t, err, "cannot write "+path+": ")
		require.ErrorIs(t, err, errors.Unwrap(want))
		require.NotContains(t, err.Error(), ".takes.csv", "the temporary name")
		require.ErrorIs(t, files.Edit(path, nil), errors.Unwrap(want))
	}
	holds(t, folder, map[string]string{"file": ""})
}

// TestTheErrorOfTheContentIsHandedOn: it is not one of the file.
func TestTheErrorOfTheContentIsHandedOn(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "takes.csv")
	fail := func(err error) func(io.Writer) error { return func(io.Writer) error { return err } }
	desk := files.NewDesk(nil, io.Discard, nil)
	empty := problem.WrongUsage(errors.New("found no take"))
	require.Equal(t, empty, desk.Write(path, false, fail(empty)))
	require.EqualError(t, desk.Write(path, false, fail(errors.New("no memory"))), "cannot write "+path+": no memory")
	require.EqualError(t, desk.Write("-", false, fail(io.ErrClosedPipe)), io.ErrClosedPipe.Error())
	holds(t, folder, map[string]string{})
}

// TestResultsAreWrittenInOrder: those before the one that fails stay.
func TestResultsAreWrittenInOrder(t *testing.T) {
	folder := t.TempDir()
	torn := errors.New("the log breaks off")
	outputs := []files.Output{
		{Path: filepath.Join(folder, "1.vcd"), Write: text("1")},
		{Path: filepath.Join(folder, "2.vcd"), Write: func(io.Writer) error { return torn }},
		{Path: filepath.Join(folder, "3.vcd"), Write: text("3")},
	}
	require.ErrorIs(t, files.NewDesk(nil, io.Discard, nil).WriteAll(outputs, false), torn)
	holds(t, folder, map[string]string{"1.vcd": "1"})
}

func TestEditMakesAFile(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, files.Edit(filepath.Join(folder, "heron.toml"), []byte("new")))
	holds(t, folder, map[string]string{"heron.toml": "new"})
}
