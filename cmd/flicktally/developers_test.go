package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// DEVELOPERS.md is checked against the source. Its go commands take minutes, so they
// are not run: every package, test, benchmark, fuzz target and flag that they name
// has to exist.

// TestDevelopersPageIsTrue holds the table of packages to the layout, and the
// commands to what there is.
func TestDevelopersPageIsTrue(t *testing.T) {
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)

	rows := map[string]limits{}
	row := regexp.MustCompile("(?m)^\\| `([^`]+)` \\| [^|]+ \\| ([^|]+) \\| (world)? *\\|$")
	for _, m := range row.FindAllStringSubmatch(string(text), -1) {
		var imports []string
		for _, word := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(m[2], -1) {
			imports = append(imports, word[1])
		}
		rows[m[1]] = limits{imports, m[3] != ""}
	}
	for name, row := range layout {
		assert.Equal(t, row, rows[name], "the row of %s in the table of packages in DEVELOPERS.md", name)
	}
	assert.Len(t, rows, len(layout), "the table of packages in DEVELOPERS.md")

	paths := regexp.MustCompile("[ `]((?:\\./|\\.ci/|(?:cmd|plot|sim|trainer)/)[a-z/_*.-]*[a-z])")
	for _, m := range paths.FindAllStringSubmatch(string(text), -1) {
		found, err := filepath.Glob(filepath.Join("../..", m[1]))
		require.NoError(t, err)
		assert.NotEmpty(t, found, m[1])
	}
	for _, m := range regexp.MustCompile("(Fuzz\\w+)[^|F]* `?\\./([a-z/]+)").FindAllStringSubmatch(string(text), -1) {
		assertFunc(t, m[1], m[2])
	}
}

// assertFunc fails where no test of the package has the function.
func assertFunc(t *testing.T, name, folder string) {
	tests, err := filepath.Glob(filepath.Join("../..", folder, "*_test.go"))
	require.NoError(t, err)
	for _, path := range tests {
		code, err := os.ReadFile(path)
		require.NoError(t, err)
		if strings.Contains(string(code), "func "+name+"(") {
			return
		}
	}
	t.Errorf("DEVELOPERS.md: there is no %s in %s", name, folder)
}

// TestDevelopersCommandsAreThere checks every command of the page.
func TestDevelopersCommandsAreThere(t *testing.T) {
	t.Parallel()
	defer compute()()
	for _, text := range codeSpans(t, "DEVELOPERS.md") {
		switch name, _, _ := strings.Cut(text, " "); {
		case name == "go":
			checkGoCommand(t, text)
		case name == "flicktally":
			_, said, code := runShell(t, t.TempDir(), text, unhurried)
			assert.Zero(t, code, "DEVELOPERS.md: %s\n%s", text, said)
		case strings.HasPrefix(text, ".ci/"):
			info, err := os.Stat(filepath.Join("../..", text))
			require.NoError(t, err, text)
			assert.NotZero(t, info.Mode()&0o111, "%s is no program", text)
		}
	}
}

// ownFlags are flags that tests define, each with a pattern of the code that
// defines it.
var ownFlags = map[string]string{
	"-update":           `flag\.Bool\("update"|screentest\.Golden\(`,
	"-rapid.checks":     `"pgregory.net/rapid"`,
	"-peers":            `flag\.String\("peers"`,
	"-benches":          `flag\.Int\("benches"`,
	"-sessions":         `flag\.Int\("sessions"`,
	"-aloft":            `flag\.Duration\("aloft"`,
	"-soak":             `flag\.Duration\("soak"`,
	"-particle-flights": `flag\.Int\("particle-flights"`,
}

// checkGoCommand checks that a go command could work.
func checkGoCommand(t *testing.T, text string) {
	t.Helper()
	text, _, _ = strings.Cut(text, " #")
	text, _, _ = strings.Cut(text, " >")
	words := strings.Fields(strings.ReplaceAll(text, "'", ""))
	folders := packageFolders(t, words)
	switch words[1] {
	case "test":
		checkGoTest(t, text, words[2:], folders)
	case "build":
		require.Equal(t, "-C", words[2], text)
		assert.FileExists(t, filepath.Join("../..", words[3], "go.mod"), text)
	case "run":
		checkGoRun(t, text, words[2:])
	case "doc", "install":
	default:
		t.Errorf("%s: not checked", text)
	}
}

// packageFolders returns the folders of the packages that the words name, which
// have to exist.
func packageFolders(t *testing.T, words []string) []string {
	t.Helper()
	packages, err := goList()
	require.NoError(t, err)
	var folders []string
	for _, w := range words {
		name, named := strings.CutPrefix(w, "./")
		switch {
		case !named:
		case name == "...":
			for name := range packages {
				folders = append(folders, filepath.Join("../..", name))
			}
		default:
			require.Contains(t, packages, name, "%v: no package", words)
			folders = append(folders, filepath.Join("../..", name))
		}
	}
	require.NotEmpty(t, folders, "%v: no package", words)
	return folders
}

// goList returns the imports of each package, by its path in the module.
var goList = sync.OnceValues(func() (map[string][]string, error) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "flicktally/...").Output()
	packages := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		packages[strings.TrimPrefix(fields[0], "flicktally/")] = fields[1:]
	}
	return packages, err
})

// checkGoTest checks that the flags exist, and that they select tests.
func checkGoTest(t *testing.T, text string, words, folders []string) {
	t.Helper()
	var tests string
	for _, folder := range folders {
		paths, err := filepath.Glob(filepath.Join(folder, "*_test.go"))
		require.NoError(t, err)
		for _, path := range paths {
			code, err := os.ReadFile(path)
			require.NoError(t, err)
			tests += string(code)
		}
	}
	known, err := goFlags()
	require.NoError(t, err)
	for i, word := range words {
		flag, _, _ := strings.Cut(word, "=")
		kind := map[string]string{"-run": "Test", "-bench": "Benchmark", "-fuzz": "Fuzz"}[flag]
		own := ownFlags[flag]
		switch {
		case !strings.HasPrefix(word, "-"):
		case own != "":
			assert.True(t, found(own, tests), "%s: no test has %s", text, flag)
		default:
			assert.True(t, found(`(?m)^\s+`+flag+`\b`, known), "%s: go knows no %s", text, flag)
		}
		if kind != "" && words[i+1] != "^$" {
			assert.True(t, found(`(?m)^func `+kind+`\w*`+strings.TrimPrefix(words[i+1], kind), tests), "%s: %s selects nothing", text, flag)
		}
	}
}

func found(pattern, text string) bool { return regexp.MustCompile(pattern).MatchString(text) }

// goFlags returns go's help on its flags.
var goFlags = sync.OnceValues(func() (string, error) {
	test, err := exec.Command("go", "help", "testflag").Output()
	if err != nil {
		return "", err
	}
	build, err := exec.Command("go", "help", "build").Output()
	return string(test) + string(build), err
})

// checkGoRun runs a program of the project, with small numbers if it is not
// flicktally.
func checkGoRun(t *testing.T, text string, words []string) {
	t.Helper()
	if words[0] == "./cmd/flicktally" {
		_, said, code := runShell(t, t.TempDir(), "flicktally "+strings.Join(words[1:], " "), unhurried)
		assert.Zero(t, code, "%s\n%s", text, said)
		return
	}
	quick := regexp.MustCompile(`\b[0-9]+\b`).ReplaceAllString(strings.Join(words, " "), "1")
	run := exec.Command("go", append([]string{"run"}, strings.Fields(quick)...)...)
	run.Dir = "../.."
	out, err := run.Output()
	require.NoError(t, err, text)
	assert.NotEmpty(t, out, text)
}
