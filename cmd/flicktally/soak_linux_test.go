package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/trainer/history/smalldisk"
	"flicktally/trainer/term/termtest"
)

var soak = flag.Duration("soak", 3*time.Second, "how long TestSoak goes on")

// soaked is one flight of the soak test: what comes in, and what goes wrong.
type soaked struct {
	t      *testing.T
	random *rand.Rand
	folder string
	record string
	sent   strings.Builder // rows, as the record has them

	datagrams bool
	at        int // ms
}

// faults of a whole flight.
const (
	noFault = iota
	killed9
	interrupted
	closedOutput
	fullDisk
	onScreen // on a terminal, which is to be given back however it ends
	faultKinds
)

// Flights at random by a fixed seed, from a stream, a file or datagrams, with junk
// between the rows and a fault in each: what was shown is in the record, exit codes
// are true, the terminal is given back, and no file is left but those asked for.
func TestSoak(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(16, 4))
	for end, i := time.Now().Add(*soak), 0; i < faultKinds || time.Now().Before(end); i++ {
		s := &soaked{t: t, random: random, folder: t.TempDir()}
		s.record = filepath.Join(s.folder, "record.csv")
		s.fly(i % faultKinds)
	}
}

// onTerminal is a flight from a growing file to the screen of a terminal, ended in
// one of the ways in which a person or the system does.
func (s *soaked) onTerminal() {
	growing, err := os.Create(filepath.Join(s.t.TempDir(), "growing.csv"))
	require.NoError(s.t, err)
	defer growing.Close()
	command := asFlicktally("live", "--record", s.record, "--final", "final.json", growing.Name())
	command.Dir = s.folder
	c := termtest.Start(s.t, command)
	c.WaitFor(termtest.EnterScreen, 1)
	s.send(growing, onScreen)
	s.await()
	ways := []struct {
		end  func(*termtest.Console)
		code int
	}{
		{func(c *termtest.Console) { c.Type("qq") }, exitDone},
		{func(c *termtest.Console) { c.Type("\x03") }, exitDone},
		{termtest.Send(syscall.SIGINT), exitFailed},
		{termtest.Send(syscall.SIGTERM), exitFailed},
		{termtest.Send(syscall.SIGHUP), exitFailed},
	}
	way := ways[s.random.IntN(len(ways))]
	way.end(c)
	require.Equal(s.t, way.code, c.WaitForEnd())
	c.RequireRestored()
	s.check(exitDone, onScreen, "", c.Seen())
}

func (s *soaked) fly(fault int) {
	if fault == onScreen {
		s.onTerminal()
		return
	}
	if fault == fullDisk {
		disk := smalldisk.New(s.t, 1<<20)
		smalldisk.Fill(s.t, disk, 16<<10)
		s.record = filepath.Join(disk, "record.csv")
	}
	command := asFlicktally(append([]string{"live", "--record", s.record, "--final", "final.json", "--jsonl", "--every", "0s"}, s.source(fault)...)...)
	command.Dir = s.folder
	out, err := command.StdoutPipe()
	require.NoError(s.t, err)
	var errs said
	command.Stderr = &errs
	feed := s.feed(command)
	require.NoError(s.t, command.Start())
	if s.datagrams {
		feed = s.dial(&errs)
	}
	told := make(chan string, 1)
	go func() {
		if fault == closedOutput {
			out.Close()
			told <- ""
			return
		}
		text, _ := io.ReadAll(out) // breaks off where the program is killed
		told <- string(text)
	}()
	s.send(feed, fault)
	s.end(command, fault)
	feed.Close() // by which standard input ends
	text := <-told
	_ = command.Wait() // the exit code is checked
	s.check(command.ProcessState.ExitCode(), fault, text, errs.String())
}

// said collects what a program writes, and can be read meanwhile.
type said struct {
	mu   sync.Mutex
	text strings.Builder
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// source is where the rows come from: standard input, a file that grows, or
// datagrams. On a full disk nobody can see in the record what has come, so that
// the input has to end.
func (s *soaked) source(fault int) []string {
	kind := s.random.IntN(3)
	s.datagrams = kind == 1 && fault != fullDisk
	switch {
	case s.datagrams:
		return []string{"--udp", "0"}
	case kind == 0 || fault == fullDisk:
		return []string{"-"}
	default:
		return []string{filepath.Join(s.t.TempDir(), "growing.csv")}
	}
}

// dial returns what sends datagrams to where the program listens.
func (s *soaked) dial(errs *said) io.WriteCloser {
	listens := regexp.MustCompile(`listening on udp (\S+)\n`)
	require.Eventually(s.t, func() bool { return listens.MatchString(errs.String()) }, termtest.Patience, 5*time.Millisecond)
	conn, err := net.Dial("udp", listens.FindStringSubmatch(errs.String())[1])
	require.NoError(s.t, err)
	return conn
}

func (s *soaked) feed(command *exec.Cmd) io.WriteCloser {
	if s.datagrams {
		return nil
	}
	if path := command.Args[len(command.Args)-1]; path != "-" {
		file, err := os.Create(path)
		require.NoError(s.t, err)
		return file
	}
	in, err := command.StdinPipe()
	require.NoError(s.t, err)
	return in
}

// send sends a header and rows with a flick now and then, and junk between them.
func (s *soaked) send(feed io.WriteCloser, fault int) {
	_, _ = io.WriteString(feed, "time_us,aux2\n")
	rows := 200 + s.random.IntN(300)
	if fault == fullDisk {
		rows = 4000
	}
	for i := range rows {
		value := 1000
		if i%100 >= 50 && i%100 < 80 {
			value = 2000
		}
		row := fmt.Sprintf("%d,%d\n", s.at*1000, value)
		s.at += 10
		s.sent.WriteString(row)
		if s.random.IntN(40) == 0 {
			row += []string{"junk\n", "\x00\xff\n", "1,2,3\n", "\"\n"}[s.random.IntN(4)]
		}
		_, _ = io.WriteString(feed, row) // the program may be gone
		if s.datagrams && i%50 == 49 {   // or what the system cannot hold is lost on the way
			s.await()
		}
		if i%50 == 0 {
			time.Sleep(time.Duration(s.random.IntN(20)) * time.Millisecond)
		}
	}
}

// end ends the flight as its fault does.
func (s *soaked) end(command *exec.Cmd, fault int) {
	fromFile := command.Args[len(command.Args)-1] != "-"
	switch {
	case fault == killed9:
		time.Sleep(time.Duration(s.random.IntN(300)) * time.Millisecond)
		_ = command.Process.Kill()
	case fault == fullDisk:
	case fault == interrupted || fromFile:
		s.await()
		_ = command.Process.Signal(os.Interrupt)
	}
}

// await waits until the record has all the rows.
func (s *soaked) await() {
	require.Eventually(s.t, func() bool { return len(s.kept()) == s.sent.Len() }, termtest.Patience, 5*time.Millisecond)
}

// kept returns the rows that the record has.
func (s *soaked) kept() string {
	record, err := os.ReadFile(s.record)
	if errors.Is(err, fs.ErrNotExist) {
		return ""
	}
	require.NoError(s.t, err)
	var kept strings.Builder
	for line := range strings.Lines(string(record)) {
		if line[0] >= '0' && line[0] <= '9' {
			kept.WriteString(line)
		}
	}
	return kept.String()
}

// check checks what must be true after any flight.
func (s *soaked) check(code, fault int, told, said string) {
	want := exitDone
	switch fault {
	case killed9:
		want = -1
	case fullDisk:
		want = exitFailed
		require.Contains(s.t, said, "the record breaks off")
		require.NotContains(s.t, said, "recorded;")
	}
	if code != want && !(fault == killed9 && code == exitDone) { // it may have ended before
		s.t.Fatalf("fault %d: found exit code %d, want %d\n%s", fault, code, want, said)
	}
	kept := s.kept()
	require.True(s.t, strings.HasPrefix(s.sent.String(), kept), "fault %d: the record has rows that nobody sent", fault)
	if fault != fullDisk {
		for _, press := range regexp.MustCompile(`"up_us":([0-9]+)`).FindAllStringSubmatch(told, -1) {
			require.Contains(s.t, kept, "\n"+press[1]+",", "fault %d: a press was shown and not recorded", fault)
		}
	}
	if fault != killed9 && fault != fullDisk {
		require.Equal(s.t, s.sent.String(), kept, "fault %d", fault)
	}
	for _, name := range namesIn(s.t, s.folder) {
		require.Contains(s.t, []string{"record.csv", "final.json"}, name, "fault %d", fault)
	}
}
