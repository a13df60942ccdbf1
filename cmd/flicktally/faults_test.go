package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEveryFaultIsShown holds the table of faults in DEVELOPERS.md to the tests
// that there are.
func TestEveryFaultIsShown(t *testing.T) {
	page, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	_, faults, found := strings.Cut(string(page), "\n## Faults\n")
	require.True(t, found)
	faults, _, _ = strings.Cut(faults, "\n## ")
	named := regexp.MustCompile("`(Test[A-Za-z]+)`").FindAllStringSubmatch(faults, -1)
	require.Greater(t, len(named), 40)
	tests := allTests(t)
	for _, name := range named {
		require.Contains(t, tests, "\nfunc "+name[1]+"(t *testing.T)")
	}
}

// allTests returns the text of all tests.
func allTests(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	require.NoError(t, filepath.WalkDir("../..", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		all.Write(text)
		return err
	}))
	return all.String()
}
