package main

// All communication with the user goes through this file.
//
//   - Results go to standard output, everything else to standard error: notes,
//     warnings, progress, errors. A closed pipe ends the program quietly.
//   - An error is one line, "flicktally: what was being done: what was found,
//     what would be right", in lower case and without a full stop. Its place
//     ("line 12, column 14 of heron.toml reads: …") and what to try ("→ …")
//     follow on separate lines.
//   - Colour appears only on a terminal, and not if NO_COLOR is set; it never
//     carries meaning alone.
//   - Unprintable characters in text from a log, a rig or the journal are escaped
//     before it is shown (excerpt.Printable), and so are those in everything on
//     standard error. export.NewJSON escapes them in JSON.

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"sync"
	"syscall"

	"golang.org/x/term"

	"flicktally/sim/excerpt"
	"flicktally/sim/files"
	"flicktally/sim/problem"
	"flicktally/sim/text"
	"flicktally/trainer/livelines"
)

// The exit codes.
const (
	exitDone = iota
	exitFailed
	exitUsage
	exitUnreadable
	exitFound
)

// exitCodes explains the exit codes to the user.
var exitCodes = [...]string{
	exitDone:       "Done.",
	exitFailed:     "Failed.",
	exitUsage:      "Wrong usage, or a rig that cannot work.",
	exitUnreadable: "A log that cannot be read.",
	exitFound:      "With --check: a flick failed, or the rig has a fault.",
}

// These errors end replay --check and rig check --check. They are not printed,
// since the report has said everything.
var (
	errFlickFailed = errors.New("a flick failed")
	errRigFaulty   = errors.New("the rig has a fault")
)

// talk is the connection to the user.
type talk struct {
	*text.Printer // of reports to standard output

	out      *bufio.Writer // where text goes
	results  *bufio.Writer // standard output
	err      io.Writer
	outTTY   bool       // standard output is a terminal
	terminal int        // descriptor of standard output
	errTTY   bool       // standard error is a terminal
	mu       sync.Mutex // guards standard error
	lastLine int        // length of the progress line on it
	giveBack func()     // restores the terminal of standard output
}

func newTalk(out, err *os.File) *talk {
	results := bufio.NewWriterSize(standardOutput{out}, 64<<10)
	colour, giveBack := term.IsTerminal(int(out.Fd())) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb", func() {}
	if colour {
		colour, giveBack = showColours(out)
	}
	return &talk{
		Printer: text.New(results, colour), out: results, results: results, err: err,
		outTTY: term.IsTerminal(int(out.Fd())), terminal: int(out.Fd()),
		errTTY: term.IsTerminal(int(err.Fd())), giveBack: giveBack,
	}
}

// screenSize returns the size of the terminal on standard output, or else a
// usual one.
func (t *talk) screenSize() (width, height int) {
	if t.outTTY {
		if width, height, err := term.GetSize(t.terminal); err == nil {
			return width, height
		}
	}
	return 80, 24
}

// note prints a note beside the result.
func (t *talk) note(format string, args ...any) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.clearProgress()
	t.tell(fmt.Sprintf(format, args...))
}

// tell writes lines to standard error. It escapes unprintable characters, which
// may be in the texts of errors and in file names.
func (t *talk) tell(text string) {
	for line := range strings.SplitSeq(text, "\n") {
		fmt.Fprintln(t.err, excerpt.Printable(line))
	}
}

// progress shows the progress of long work, only on a terminal. An empty text
// removes it.
func (t *talk) progress(text string) {
	if !t.errTTY {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.clearProgress()
	fmt.Fprint(t.err, "\r"+text)
	t.lastLine = len(text)
}

func (t *talk) clearProgress() {
	if t.lastLine > 0 {
		fmt.Fprint(t.err, "\r"+strings.Repeat(" ", t.lastLine)+"\r")
		t.lastLine = 0
	}
}

// standAside sends text to standard error if an output file goes to standard
// output.
func (t *talk) standAside(outputs ...string) {
	if slices.Contains(outputs, "-") {
		t.out = bufio.NewWriter(t.err)
		t.Printer, t.outTTY = text.New(t.out, false), false
	}
}

// finish flushes the results, reports the error and returns the exit code.
func (t *talk) finish(err error) int {
	t.clearProgress()
	for _, w := range []*bufio.Writer{t.out, t.results} { // mostly the same one
		if flushErr := w.Flush(); err == nil && flushErr != nil {
			err = flushErr
		}
	}
	t.giveBack()
	if err == nil || files.IsClosedPipe(err) {
		return exitDone
	}
	if err == errFlickFailed || err == errRigFaulty {
		return exitFound
	}
	t.tell("flicktally: " + problem.Explain(err))
	switch problem.KindOf(err) {
	case problem.Usage:
		return exitUsage
	case problem.Unreadable:
		return exitUnreadable
	default:
		return exitFailed
	}
}

// neverWait returns an outlet to standard output that does not wait for its
// reader. Notes go through such an outlet as well, until restore is called.
func (t *talk) neverWait() (out *livelines.Outlet, restore func()) {
	// Writing to a closed pipe must be an error, and not end the program.
	signal.Notify(make(chan os.Signal, 1), syscall.SIGPIPE)
	direct := t.err
	notes := livelines.NewOutlet(direct)
	t.err = notes
	return livelines.NewOutlet(flushing{t.out}), func() {
		t.err = direct
		_ = notes.Close(t.note) // an error of standard error has no reader
	}
}

// standardOutput adds to an error that the result could not be written.
type standardOutput struct{ to io.Writer }

func (o standardOutput) Write(p []byte) (int, error) {
	n, err := o.to.Write(p)
	if err != nil {
		err = fmt.Errorf("cannot write the result: %w", err)
	}
	return n, err
}

// flushing flushes after every write.
type flushing struct{ *bufio.Writer }

func (f flushing) Write(p []byte) (int, error) {
	n, err := f.Writer.Write(p)
	if err == nil {
		err = f.Flush()
	}
	return n, err
}
