package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"go.uber.org/goleak"
)

func TestMain(m *testing.M) {
	testscript.Main(leakless{m}, map[string]func(){
		"flicktally": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// leakless fails the tests if one of them leaves a goroutine behind.
type leakless struct{ *testing.M }

func (l leakless) Run() int {
	if err := flag.Set("test.parallel", strconv.Itoa(mostAtOnce)); err != nil {
		panic(err)
	}
	if err := os.Setenv("GORACE", briefExit); err != nil {
		panic(err)
	}
	code := l.M.Run()
	if err := goleak.Find(); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return code
}

// briefExit lets a program that is built with the race detector wait 50 ms at its
// end for the races of other goroutines, and not a second: a thousand are started.
const briefExit = "atexit_sleep_ms=50"

// mostAtOnce is how many tests run at once, unless -parallel says otherwise. Most
// of them wait for a program; those that compute share the processors.
const mostAtOnce = 16

var processors = make(chan struct{}, runtime.GOMAXPROCS(0)+1)

// compute waits for a share of the processors, and keeps it until release is
// called.
func compute() (release func()) {
	processors <- struct{}{}
	return func() { <-processors }
}

var (
	update  = flag.Bool("update", false, "renew the expected output in the stories")
	program = flag.String("program", "", "run the stories with this `file`, which starts the program built for Windows")
)

// TestStories runs the command as a process, on the stories in testdata/script. In a
// story the condition [windows-program] is true where -program gives the command.
func TestStories(t *testing.T) {
	t.Parallel()
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Setup: func(env *testscript.Env) error {
			env.Defer(compute())
			env.Setenv("GORACE", briefExit)
			return useProgram(t, env)
		},
		Condition: func(condition string) (bool, error) {
			if condition != "windows-program" {
				return false, fmt.Errorf("unknown condition")
			}
			return *program != "", nil
		},
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"chop": chop, "practised": practised, "unhex": unhex, "video": video},
	})
}

// useProgram lets a story run the program of -program as flicktally.
func useProgram(t *testing.T, env *testscript.Env) error {
	if *program == "" {
		return nil
	}
	folder := t.TempDir()
	env.Setenv("PATH", folder+string(filepath.ListSeparator)+env.Getenv("PATH"))
	return os.Symlink(*program, filepath.Join(folder, "flicktally"))
}

// chop FILE N cuts the last N bytes off a file, as a logger does that loses
// power.
func chop(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[0])
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	info, err := os.Stat(path)
	ts.Check(err)
	ts.Check(os.Truncate(path, info.Size()-int64(n)))
}
