package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"flicktally/cmd/manual"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// README.md and the topics of help are checked against the program. In a block marked
// "sh" every line is a command, and has to work. In one marked "console" commands
// follow a "$ ", and what stands below one is what it prints; a line "…" stands
// for lines left out. In a topic such a block is indented by four. Each block is
// run in a folder of its own. With -update, an output that differs is renewed on
// the page, unless lines are left out of it.

// pages are README.md and the topics that are written, from the project's folder.
func pages() []string {
	all, err := filepath.Glob("help/*.txt")
	if err != nil {
		panic(err)
	}
	for i := range all {
		all[i] = "cmd/flicktally/" + filepath.ToSlash(all[i])
	}
	return append(all, "README.md")
}

// exceptions are commands that cannot end with 0 in a test.
var exceptions = []struct {
	begins string
	ends   []int // exit codes; none: it is not run
	why    string
}{
	{"go ", nil, "builds or tests the whole project; checkGoCommand looks whether it could"},
	{"flicktally calibrate --bench", nil, "asks on the terminal; TestCalibrateTalksAsShown answers"},
	{"flicktally practise", []int{exitFailed}, "there is no terminal"},
	{"flicktally practise --plan", []int{exitDone}, "it needs no terminal"},
	{"flicktally live --joystick", []int{exitFailed}, "there is no transmitter"},
	{"flicktally live --udp", []int{stillRuns, exitFailed}, "waits for datagrams, or the port is taken"},
	{"flicktally live --rig heron.toml growing.csv", []int{stillRuns}, "waits for the log to grow"},
	{"flicktally live --baud", []int{exitUnreadable}, "there is no serial device"},
}

// stillRuns stands for the exit code of a command that has to be stopped.
const stillRuns = -1

// unhurried is the time limit of a command that ends on its own: long, as the machine
// may be busy.
const unhurried = 10 * time.Minute

func TestReadmeIsTrue(t *testing.T) {
	t.Parallel()
	files := readmeFiles(t)
	for _, page := range pages() {
		renewed := &renewal{}
		t.Cleanup(func() { renewed.write(t, page) }) // after the parallel tests
		for _, b := range codeBlocks(t, page) {
			if b.kind != "sh" && b.kind != "console" {
				continue
			}
			t.Run(fmt.Sprintf("%s line %d", filepath.Base(page), b.line), func(t *testing.T) {
				t.Parallel()
				defer compute()()
				folder := copyOf(t, files)
				for _, c := range b.commands(page) {
					c.check(t, folder, renewed)
				}
			})
		}
	}
}

// readmeFiles makes the files that README.md speaks of: the demo's, the same
// flight by other names, a recording of telemetry, and a journal of practice.
func readmeFiles(t *testing.T) string {
	folder := t.TempDir()
	put := func(name string, data []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), data, 0o666))
	}
	for _, name := range []string{"heron.toml", "unsure.toml", "regatta.csv", "card.csv", "trials.csv"} {
		put(name, demoFile(name))
	}
	put("rig.toml", demoFile("heron.toml"))
	for _, name := range []string{"flight.csv", "monday.csv", "tuesday.csv", "growing.csv"} {
		put(name, demoFile("regatta.csv"))
	}
	story, err := txtar.ParseFile("testdata/script/replay_mavlink.txtar")
	require.NoError(t, err)
	for _, f := range story.Files {
		if f.Name == "regatta.hex" {
			data, err := unhexed(string(f.Data))
			require.NoError(t, err)
			put("regatta.tlm", data)
		}
	}
	writePractice(filepath.Join(folder, "data", "flicktally"), func(err error) { require.NoError(t, err) })
	return folder
}

// codeBlock is a fenced block of a page.
type codeBlock struct {
	line  int // of its first line, from 1
	kind  string
	lines []string
}

func codeBlocks(t *testing.T, page string) []codeBlock {
	text, err := os.ReadFile(filepath.Join("../..", page))
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	if strings.HasSuffix(page, ".txt") {
		return indentedBlocks(lines)
	}
	var blocks []codeBlock
	inside := false
	for i, line := range lines {
		kind, fence := strings.CutPrefix(line, "```")
		switch {
		case fence && !inside:
			blocks = append(blocks, codeBlock{line: i + 2, kind: kind})
			inside = true
		case fence:
			inside = false
		case inside:
			last := &blocks[len(blocks)-1]
			last.lines = append(last.lines, line)
		}
	}
	require.False(t, inside, "%s: a code block has no end", page)
	return blocks
}

// indent is that of blocks in a topic.
const indent = "    "

// indentedBlocks returns the blocks of a topic: each begins with a command and
// goes on to the first line that is not indented.
func indentedBlocks(lines []string) []codeBlock {
	var blocks []codeBlock
	inside := false
	for i, line := range lines {
		text, indented := strings.CutPrefix(line, indent)
		switch {
		case !inside && strings.HasPrefix(text, "$ ") && indented:
			blocks = append(blocks, codeBlock{line: i + 1, kind: "console", lines: []string{text}})
			inside = true
		case inside && (indented || line == ""):
			last := &blocks[len(blocks)-1]
			last.lines = append(last.lines, text)
		default:
			inside = false
		}
	}
	for i, b := range blocks {
		for b.lines[len(b.lines)-1] == "" {
			b.lines = b.lines[:len(b.lines)-1]
		}
		blocks[i] = b
	}
	return blocks
}

// shownCommand is a command on a page, and what the page says it prints.
type shownCommand struct {
	page   string
	line   int
	text   string
	output []string // none: the page does not say
}

func (b codeBlock) commands(page string) []shownCommand {
	var commands []shownCommand
	for i, line := range b.lines {
		command, prompted := strings.CutPrefix(line, "$ ")
		switch {
		case prompted || b.kind == "sh":
			commands = append(commands, shownCommand{page: page, line: b.line + i, text: command})
		case len(commands) > 0:
			last := &commands[len(commands)-1]
			last.output = append(last.output, line)
		}
	}
	return commands
}

// renewal holds what commands print now, where the page shows something else.
type renewal struct {
	lock    sync.Mutex
	outputs map[shownLines]string
}

// shownLines are the lines of a page that show an output, from 1, last included.
type shownLines struct{ first, last int }

func (r *renewal) add(c shownCommand, out string) {
	r.lock.Lock()
	defer r.lock.Unlock()
	if r.outputs == nil {
		r.outputs = map[shownLines]string{}
	}
	r.outputs[shownLines{c.line + 1, c.line + len(c.output)}] = out
}

// write puts the outputs in their places on the page, the last one first, so
// that line numbers before it hold.
func (r *renewal) write(t *testing.T, page string) {
	if len(r.outputs) == 0 {
		return
	}
	path := filepath.Join("../..", page)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	places := slices.SortedFunc(maps.Keys(r.outputs), func(a, b shownLines) int { return b.first - a.first })
	for _, p := range places {
		output := strings.Split(r.outputs[p], "\n")
		for i := range output {
			if output[i] != "" && strings.HasSuffix(page, ".txt") {
				output[i] = indent + output[i]
			}
		}
		lines = slices.Replace(lines, p.first-1, p.last, output...)
	}
	require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o666))
}

// check runs the command in the folder. Its exit code has to be right, and so
// has the output that the page shows; with -update, the output is renewed.
func (c shownCommand) check(t *testing.T, folder string, renewed *renewal) {
	ends := []int{exitDone}
	for _, x := range exceptions {
		if strings.HasPrefix(c.text, x.begins) {
			ends = x.ends
		}
	}
	if strings.HasPrefix(c.text, "go ") {
		checkGoCommand(t, c.text)
	}
	if len(ends) == 0 {
		return
	}
	wait := unhurried
	if slices.Contains(ends, stillRuns) {
		wait = time.Second
	}
	out, said, code := runShell(t, folder, c.text, wait)
	assert.Contains(t, ends, code, "%s:%d: %s\n%s", c.page, c.line, c.text, said)
	lines := strings.Split(strings.TrimRight(out, "\n"), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	switch out = strings.Join(lines, "\n"); {
	case len(c.output) == 0 || shows(c.output, lines):
	case *update && !slices.Contains(c.output, "…"):
		renewed.add(c, out)
	default:
		assert.Equal(t, strings.Join(c.output, "\n"), out, "%s:%d: %s", c.page, c.line, c.text)
	}
}

// runShell runs a command line in a folder and returns what it wrote and its
// exit code, stillRuns if it had to be stopped.
func runShell(t *testing.T, folder, line string, wait time.Duration) (out, errs string, code int) {
	t.Helper()
	if _, err := exec.LookPath("sh"); err != nil {
		t.Skip("no shell here: ", err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), wait)
	defer cancel()
	if wait < unhurried {
		line = "exec " + line // so that it is stopped itself, not the shell
	}
	command := exec.CommandContext(ctx, "sh", "-c", line)
	command.Dir = folder
	command.Env = append(os.Environ(), "XDG_DATA_HOME="+filepath.Join(folder, "data"), "XDG_CONFIG_HOME="+filepath.Join(folder, "config"), "TZ=UTC", "LC_ALL=C.UTF-8", "NO_COLOR=1")
	var stdout, stderr strings.Builder
	command.Stdout, command.Stderr = &stdout, &stderr
	err := command.Run()
	var exit *exec.ExitError
	switch {
	case ctx.Err() != nil:
		code = stillRuns
	case errors.As(err, &exit):
		code = exit.ExitCode()
	default:
		require.NoError(t, err)
	}
	return stdout.String(), stderr.String(), code
}

// shows reports whether a page's lines are those of an output, where "…" stands
// for any lines. Spaces at the end of a line do not count.
func shows(page, output []string) bool {
	switch {
	case len(page) == 0:
		return len(output) == 0
	case page[0] == "…":
		for skip := range len(output) + 1 {
			if shows(page[1:], output[skip:]) {
				return true
			}
		}
		return false
	default:
		return len(output) > 0 && page[0] == strings.TrimRight(output[0], " ") && shows(page[1:], output[1:])
	}
}

func TestShows(t *testing.T) {
	output := []string{"a  ", "b", "c", "d"}
	for page, want := range map[string]bool{
		"a b c d": true,
		"a b d":   false,
		"a b c":   false,
		"a b …":   true,
		"… c d":   true,
		"a … d":   true,
		"… c":     false,
		"a … b …": true,
		"…":       true,
	} {
		assert.Equal(t, want, shows(strings.Fields(page), output), page)
	}
}

// TestReadmeNamesWhatThereIs: commands in its sentences and tables work as those
// in its blocks do, or have help where only their name is given; flags that
// stand alone belong to some command.
func TestReadmeNamesWhatThereIs(t *testing.T) {
	t.Parallel()
	defer compute()()
	files, flags := readmeFiles(t), everyFlag()
	for _, text := range codeSpans(t, "README.md") {
		switch words := strings.Fields(text); {
		case words[0] == "go":
			checkGoCommand(t, text)
		case words[0] == "flicktally":
			if len(words) == 2 && words[1] != "help" {
				text += " --help"
			}
			out, said, code := runShell(t, copyOf(t, files), text, unhurried)
			assert.Zero(t, code, "README.md: %s\n%s%s", text, out, said)
		case strings.HasPrefix(text, "-") && len(text) > 1:
			assert.True(t, flags[words[0]], "README.md: no command has %s", words[0])
		}
	}
}

// TestTopicsNameWhatThereIs: every flag that a topic names belongs to some
// command, and every command is one.
func TestTopicsNameWhatThereIs(t *testing.T) {
	flags, names := everyFlag(), map[string]bool{"help": true, "completion": true}
	for _, c := range commands {
		names[c.name] = true
	}
	for _, topic := range topics {
		for _, flag := range regexp.MustCompile(`--[a-z][a-z-]*`).FindAllString(topic.text(), -1) {
			assert.True(t, flags[flag], "help %s: no command has %s", topic.name, flag)
		}
		for _, m := range regexp.MustCompile(`flicktally ([a-z]+) `).FindAllStringSubmatch(topic.text(), -1) {
			assert.True(t, names[m[1]] || m[1] == "wrote" || m[1] == "takes", "help %s: no command %s", topic.name, m[1])
		}
	}
}

// everyFlag holds the flags that some command has.
func everyFlag() map[string]bool {
	flags := map[string]bool{"--help": true}
	for _, c := range called(&app{}, nil) {
		manual.EachCommand(c, func(c *cobra.Command) {
			c.Flags().VisitAll(func(f *pflag.Flag) { flags["--"+f.Name], flags["-"+f.Shorthand] = true, true })
		})
	}
	return flags
}

// TestCalibrateTalksAsShown types the answers of the page again. Without a terminal
// there is no echo of them.
func TestCalibrateTalksAsShown(t *testing.T) {
	const page = "cmd/flicktally/help/measuring.txt"
	for _, b := range codeBlocks(t, page) {
		command, isCommand := strings.CutPrefix(b.lines[0], "$ flicktally calibrate ")
		if !isCommand || !strings.HasPrefix(command, "--bench") {
			continue
		}
		const toBeAnswered = "l = long action): "
		_, said, code := runShell(t, t.TempDir(), "printf '\\nt\\nq\\n' | flicktally calibrate "+command, unhurried)
		require.Zero(t, code, said)
		said = strings.Replace(said, toBeAnswered, toBeAnswered+"t", 1)
		squeezed := func(text string) string { return strings.Join(strings.Fields(text), " ") }
		require.True(t, strings.HasPrefix(squeezed(said), squeezed(strings.Join(b.lines[1:], "\n"))), "%s:%d, but it says:\n%s", page, b.line, said)
		return
	}
	t.Fatal(page, " shows no dialogue of calibrate")
}

// codeSpans returns what a page has in code type outside of its blocks.
func codeSpans(t *testing.T, page string) []string {
	text, err := os.ReadFile(filepath.Join("../..", page))
	require.NoError(t, err)
	prose := regexp.MustCompile("(?ms)^```.*?^```").ReplaceAllString(string(text), "")
	var spans []string
	for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(prose, -1) {
		spans = append(spans, strings.Join(strings.Fields(m[1]), " "))
	}
	return spans
}

// copyOf copies a folder, so that a command can write in it. (os.CopyFS refuses
// names that are not UTF-8.)
func copyOf(t *testing.T, folder string) string {
	t.Helper()
	copied := t.TempDir()
	require.NoError(t, filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		to := filepath.Join(copied, strings.TrimPrefix(path, folder))
		if entry.IsDir() {
			return os.MkdirAll(to, 0o700)
		}
		content, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(to, content, 0o600)
	}))
	return copied
}
