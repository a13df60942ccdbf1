package main

import (
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/trainer/history/smalldisk"
)

var soak = flag.Duration("soak", 3*time.Second, "how long TestSoak goes on")

// soaked is one flight of the soak test: what comes in, and what goes wrong.
type soaked struct {
	t      *testing.T
	random *rand.Rand
	folder string
	record string
	sent   strings.Builder // rows, as the record has them
	at     int             // ms
}

// faults of a whole flight.
const (
	noFault = iota
	killed9
	interrupted
	closedOutput
	fullDisk
	faultKinds
)

// Flights at random by a fixed seed, from a stream or a file that grows, with junk
// between the rows and a fault in each: what was told is in the record, exit codes
// are true, and no file is left but those asked for.
func TestSoak(t *testing.T) {
	random := rand.New(rand.NewPCG(16, 4))
	for end, i := time.Now().Add(*soak), 0; i < faultKinds || time.Now().Before(end); i++ {
		s := &soaked{t: t, random: random, folder: t.TempDir()}
		s.record = filepath.Join(s.folder, "record.csv")
		s.fly(i % faultKinds)
	}
}

func (s *soaked) fly(fault int) {
	if fault == fullDisk {
		disk := smalldisk.New(s.t, 1<<20)
		smalldisk.Fill(s.t, disk, 16<<10)
		s.record = filepath.Join(disk, "record.csv")
	}
	command := asFlicktally("live", "--record", s.record, "--final", "final.json", "--jsonl", "--every", "0s", s.source())
	command.Dir = s.folder
	out, err := command.StdoutPipe()
	require.NoError(s.t, err)
	var errs strings.Builder
	command.Stderr = &errs
	feed := s.feed(command)
	require.NoError(s.t, command.Start())
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
	text := <-told
	_ = command.Wait() // the code tells
	s.check(command.ProcessState.ExitCode(), fault, text, errs.String())
}

// source is where the rows come from: standard input, or a file that grows.
func (s *soaked) source() string {
	if s.random.IntN(2) == 0 {
		return "-"
	}
	return filepath.Join(s.t.TempDir(), "growing.csv")
}

func (s *soaked) feed(command *exec.Cmd) io.WriteCloser {
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
	defer feed.Close()
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
	case fault == interrupted || fromFile:
		s.await()
		_ = command.Process.Signal(os.Interrupt)
	}
}

// await waits until the record has all the rows, or can have no more.
func (s *soaked) await() {
	last := int64(-1)
	for range 100 {
		time.Sleep(100 * time.Millisecond)
		info, err := os.Stat(s.record)
		if err == nil && info.Size() > 0 && info.Size() == last {
			return
		}
		if err == nil {
			last = info.Size()
		}
	}
}

// check holds what must be true after any flight.
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
	record, err := os.ReadFile(s.record)
	require.NoError(s.t, err)
	var kept strings.Builder
	for line := range strings.Lines(string(record)) {
		if line[0] >= '0' && line[0] <= '9' {
			kept.WriteString(line)
		}
	}
	require.True(s.t, strings.HasPrefix(s.sent.String(), kept.String()), "fault %d: the record has rows that nobody sent", fault)
	if fault != fullDisk {
		for _, press := range regexp.MustCompile(`"up_us":([0-9]+)`).FindAllStringSubmatch(told, -1) {
			require.Contains(s.t, kept.String(), "\n"+press[1]+",", "fault %d: a press was told and not recorded", fault)
		}
	}
	if fault != killed9 && fault != fullDisk {
		require.Equal(s.t, s.sent.String(), kept.String(), "fault %d", fault)
	}
	for _, name := range files(s.t, s.folder) {
		require.Contains(s.t, []string{"record.csv", "final.json"}, name, "fault %d", fault)
	}
}
