package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/trainer/history"
	"flicktally/trainer/history/smalldisk"
	"flicktally/trainer/term/termtest"
)

// What happens to files when the disk is full and when the program is killed:
// what it said was kept is there, and no half file stands under a name that
// somebody asked for. The command is a process here.

// flickLog returns a log with a take of two seconds. Its values change in every row,
// so that the page about it is large.
func flickLog(rows int) string {
	var log strings.Builder
	log.WriteString("time_us,aux2\n")
	for i := range rows {
		switched := i >= rows/4 && i < rows/4+10 || i >= rows/2 && i < rows/2+10
		fmt.Fprintf(&log, "%d,%d\n", i*20_000, 1000+i%7+map[bool]int{true: 1000}[switched])
	}
	return log.String()
}

// benchTrials prove a window.
const benchTrials = "hold,outcome\n60ms,nothing\n110ms,toggled\n1.2s,toggled\n1.6s,long\n"

// workplace holds a log, trials, a rig and a journal.
func workplace(t *testing.T) (folder string) {
	t.Helper()
	folder = t.TempDir()
	for name, text := range map[string]string{
		"flight.csv": flickLog(2000), "trials.csv": benchTrials, "heron.toml": "name = \"Heron\"\n" + strings.Repeat("# a comment\n", 1000),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	hostileJournal(t, filepath.Join(folder, "data"))
	return folder
}

// namesIn lists what is in a folder.
func namesIn(t *testing.T, folder string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// writers are the commands that write files; DISK is where to.
var writers = []struct{ args, file string }{
	{"chart flight.csv -o DISK/f.svg", "f.svg"},
	{"chart flight.csv -o DISK/f.png", "f.png"},
	{"chart flight.csv -o DISK/f.pdf", "f.pdf"},
	{"report flight.csv -o DISK/f.html", "f.html"},
	{"export --what log flight.csv -o DISK/f.csv", "f.csv"},
	{"export --what presses flight.csv -o DISK/f.jsonl", "f.jsonl"},
	{"export flight.csv -o DISK/f.vtt", "f.vtt"},
	{"export flight.csv -o DISK/f.edl", "f.edl"},
	{"export flight.csv -o DISK/f.vcd", "f.vcd"},
	{"compare --with camera.boot=5s flight.csv -o DISK/c.svg", "c.svg"},
	{"calibrate trials.csv -o DISK/w.svg", "w.svg"},
	{"progress --data data --export json -o DISK/p.json", "p.json"},
	{"progress --data data --chart holds -o DISK/p.svg", "p.svg"},
	{"progress --data data --log last -o DISK/p.csv", "p.csv"},
	{"odds --data data -o DISK/o.svg", "o.svg"},
	{"bench -o DISK/card.txt", "card.txt"},
	{"demo --write DISK", "regatta.csv"},
	{"live --plain --no-follow --final DISK/final.json flight.csv", "final.json"},
}

func onDisk(args, disk string) []string {
	fields := strings.Fields(args)
	for i := range fields {
		fields[i] = strings.ReplaceAll(fields[i], "DISK", disk)
	}
	return fields
}

func TestAFullDiskLeavesNoHalfFile(t *testing.T) {
	t.Parallel()
	defer compute()()
	folder := workplace(t)
	disk := smalldisk.New(t, 1<<20)
	smalldisk.Fill(t, disk, 0)
	for _, w := range writers {
		t.Run(w.args, func(t *testing.T) {
			code, _, errs := runIn(folder, onDisk(w.args, disk)...)
			require.Equal(t, exitFailed, code, errs)
			require.Contains(t, errs, "flicktally: cannot write ")
			require.Contains(t, errs, "no space left on device")
			require.Equal(t, []string{"filler"}, namesIn(t, disk))
		})
	}
}

func TestAFullDiskLeavesTheFileThatIsThere(t *testing.T) {
	t.Parallel()
	defer compute()()
	folder := workplace(t)
	disk := smalldisk.New(t, 1<<20)
	for _, w := range writers {
		if !strings.HasPrefix(w.args, "demo") {
			require.NoError(t, os.WriteFile(filepath.Join(disk, w.file), []byte("kept\n"), 0o600))
		}
	}
	rig := filepath.Join(disk, "heron.toml")
	before, err := os.ReadFile(filepath.Join(folder, "heron.toml"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(rig, before, 0o600))
	smalldisk.Fill(t, disk, 0)
	there := namesIn(t, disk)
	for _, w := range writers {
		if strings.HasPrefix(w.args, "demo") {
			continue
		}
		t.Run(w.args, func(t *testing.T) {
			code, _, errs := runIn(folder, append(onDisk(w.args, disk), "--force")...)
			require.Equal(t, exitFailed, code, errs)
			content, err := os.ReadFile(filepath.Join(disk, w.file))
			require.NoError(t, err)
			require.Equal(t, "kept\n", string(content))
		})
	}
	code, _, errs := runIn(folder, "calibrate", "trials.csv", "--update", rig)
	require.Equal(t, exitFailed, code, errs)
	after, err := os.ReadFile(rig)
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))
	require.Equal(t, there, namesIn(t, disk))
}

func TestAFullStandardOutputIsAnError(t *testing.T) {
	t.Parallel()
	defer compute()()
	folder := workplace(t)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "quiet.csv"), []byte("time_us,aux2\n"+rows(0, 1000, 1000)), 0o600))
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	require.NoError(t, err)
	defer full.Close()
	for _, args := range []string{
		"replay flight.csv", "replay --json flight.csv", "view --print flight.csv", "rig new", "rig show", "rig check", "bench",
		"calibrate trials.csv", "export flight.csv -o -", "export --what signals flight.csv -o -", "progress --data data", "progress --data data --export csv", "progress --data data --log last",
		"odds --data data", "compare --with camera.boot=5s flight.csv", "demo", "live --plain --no-follow flight.csv",
		"live --plain quiet.csv", // follows the file
		"help", "help model", "replay --help", "--version", "completion bash", "man",
	} {
		t.Run(args, func(t *testing.T) {
			command := asFlicktally(strings.Fields(args)...)
			var errs bytes.Buffer
			command.Dir, command.Stdout, command.Stderr = folder, full, &errs
			require.NoError(t, command.Start())
			late := time.AfterFunc(termtest.Patience, func() { _ = command.Process.Kill() })
			_ = command.Wait() // the exit code says how it ended
			require.True(t, late.Stop(), "it goes on")
			require.Equal(t, exitFailed, command.ProcessState.ExitCode(), errs.String())
			require.Equal(t, 1, strings.Count(errs.String(), "no space left on device"), errs.String())
			require.Contains(t, errs.String(), "cannot write the result: ")
		})
	}
}

// A record breaks off behind a whole block and replays, and the tally goes on.
func TestARecordOnAFullDisk(t *testing.T) {
	t.Parallel()
	defer compute()()
	folder := workplace(t)
	disk := smalldisk.New(t, 1<<20)
	smalldisk.Fill(t, disk, 64<<10)
	record := filepath.Join(disk, "record.csv")
	command := asFlicktally("live", "--plain", "--record", record, "-")
	var out, errs bytes.Buffer
	command.Dir, command.Stdout, command.Stderr = folder, &out, &errs
	in, err := command.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, command.Start())
	_, err = io.WriteString(in, flickLog(10_000))
	require.NoError(t, err)
	require.NoError(t, in.Close())
	_ = command.Wait() // the exit code is checked
	require.Equal(t, exitFailed, command.ProcessState.ExitCode(), errs.String())
	require.Regexp(t, "the record breaks off: .*no space left on device", errs.String())
	require.Contains(t, out.String(), "flick 2: held")

	content, err := os.ReadFile(record)
	require.NoError(t, err)
	require.Regexp(t, `(?s)^# flicktally record: channel\ntime_us,channel\n0,1000\n.*\n$`, string(content))
	code, _, said := runIn(folder, "replay", record)
	require.Zero(t, code, said)
}

// killed starts the program and kills it, later each time, until it ends before
// that.
func killed(t *testing.T, folder string, check func(), args ...string) {
	t.Helper()
	ended := false
	for after := 2 * time.Millisecond; !ended; after += after / 2 {
		command := asFlicktally(args...)
		command.Dir = folder
		require.NoError(t, command.Start())
		kill := time.AfterFunc(after, func() { _ = command.Process.Kill() })
		_ = command.Wait() // the exit code is checked
		if kill.Stop() {
			require.Zero(t, command.ProcessState.ExitCode())
			ended = true
		}
		check()
	}
}

func TestAKilledProgramLeavesNoHalfFile(t *testing.T) {
	t.Parallel()
	for _, args := range []string{
		"report --force flight.csv -o out.html", "chart --force flight.csv -o out.svg", "export --force flight.csv -o out.vcd",
	} {
		t.Run(args, func(t *testing.T) {
			t.Parallel()
			defer compute()()
			folder := workplace(t)
			fields := strings.Fields(args)
			file := filepath.Join(folder, fields[len(fields)-1])
			code, _, errs := runIn(folder, fields...)
			require.Zero(t, code, errs)
			whole, err := os.ReadFile(file)
			require.NoError(t, err)
			for _, before := range []string{"kept\n", ""} {
				require.NoError(t, os.Remove(file))
				if before != "" {
					require.NoError(t, os.WriteFile(file, []byte(before), 0o600))
				}
				killed(t, folder, func() {
					content, err := os.ReadFile(file)
					if err != nil {
						require.ErrorIs(t, err, os.ErrNotExist)
						require.Empty(t, before)
						return
					}
					require.True(t, string(content) == before || bytes.Equal(content, whole), "%d bytes", len(content))
				}, fields...)
			}
		})
	}
}

// A signal leaves nothing of a file that was being written.
func TestASignalLeavesNoFileBehind(t *testing.T) {
	t.Parallel()
	for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		t.Run(sig.String(), func(t *testing.T) {
			t.Parallel()
			if signal.Ignored(sig) {
				t.Skipf("%v is ignored here, as under nohup, and so it is in what is started", sig)
			}
			folder := t.TempDir()
			command := asFlicktally("export", "--kind", "log", "-", "-o", "cut.csv")
			startWriting(t, command, folder)
			require.NoError(t, command.Process.Signal(sig))
			_ = command.Wait() // the signal is checked
			require.Equal(t, sig, command.ProcessState.Sys().(syscall.WaitStatus).Signal())
			require.Empty(t, namesIn(t, folder))
		})
	}
}

// startWriting starts a command in a folder and feeds it the beginning of a log,
// until the first of its file is written.
func startWriting(t *testing.T, command *exec.Cmd, folder string) io.WriteCloser {
	t.Helper()
	command.Dir, command.Env = folder, append(command.Environ(), "TMPDIR="+folder)
	in, err := command.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, command.Start())
	_, err = io.WriteString(in, flickLog(20_000))
	require.NoError(t, err)
	require.Eventually(t, func() bool { return len(namesIn(t, folder)) == 1 }, termtest.Patience, 5*time.Millisecond)
	return in
}

// A file that another program has written under the name in the meantime is kept.
func TestAFileThatCameMeanwhileStays(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	command := asFlicktally("export", "--kind", "log", "-", "-o", "cut.csv")
	var errs bytes.Buffer
	command.Stderr = &errs
	in := startWriting(t, command, folder)
	cut := filepath.Join(folder, "cut.csv")
	require.NoError(t, os.WriteFile(cut, []byte("kept\n"), 0o600))
	require.NoError(t, in.Close())
	_ = command.Wait() // the exit code is checked
	require.Equal(t, exitFailed, command.ProcessState.ExitCode())
	require.Contains(t, errs.String(), "found cut.csv already there, want a new file")
	content, err := os.ReadFile(cut)
	require.NoError(t, err)
	require.Equal(t, "kept\n", string(content))
	require.Equal(t, []string{"cut.csv"}, namesIn(t, folder))
}

func TestAKilledRigEditLeavesARig(t *testing.T) {
	t.Parallel()
	folder := workplace(t)
	rig := filepath.Join(folder, "heron.toml")
	before, err := os.ReadFile(rig)
	require.NoError(t, err)
	edit := []string{"calibrate", "trials.csv", "--update", "heron.toml"}
	code, _, errs := runIn(folder, edit...)
	require.Zero(t, code, errs)
	after, err := os.ReadFile(rig)
	require.NoError(t, err)
	require.NotEqual(t, string(before), string(after))
	require.NoError(t, os.WriteFile(rig, before, 0o600))
	killed(t, folder, func() {
		content, err := os.ReadFile(rig)
		require.NoError(t, err)
		require.True(t, bytes.Equal(content, before) || bytes.Equal(content, after), "%s", content)
	}, edit...)
}

// A trial that was taken is in the list when the next is asked for.
func TestAKilledCalibrationKeepsItsTrials(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	command := asFlicktally("calibrate", "--bench", "trials.csv")
	command.Dir = folder
	answers, err := command.StdinPipe()
	require.NoError(t, err)
	asked, err := command.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, command.Start())
	text := ""
	waitFor := func(prompt string, times int) {
		for chunk := make([]byte, 4096); strings.Count(text, prompt) < times; {
			n, err := asked.Read(chunk)
			require.NoError(t, err, text)
			text += string(chunk[:n])
		}
	}
	for n, answer := range []string{"60ms\nn\n", "300ms\nt\n", "110ms\nt\n"} {
		waitFor("held for (", n+1)
		_, err := io.WriteString(answers, answer)
		require.NoError(t, err)
	}
	waitFor("held for (", 4)
	require.NoError(t, command.Process.Kill())
	_ = command.Wait() // it was killed
	content, err := os.ReadFile(filepath.Join(folder, "trials.csv"))
	require.NoError(t, err)
	require.Equal(t, "hold,outcome\n60ms,nothing\n300ms,toggled\n110ms,toggled\n", string(content))
}

// Two trainers on one journal do not disturb each other, and one that is killed
// takes nothing from the other.
func TestTwoTrainersOnOneJournal(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	trainers := make([]*practising, 2)
	for i := range trainers {
		command := asFlicktally("practise", "flick", "--resolution", "9ms", "--data", folder)
		command.Dir = t.TempDir()
		putPatientRig(t, command.Dir)
		trainers[i] = &practising{termtest.Start(t, command), folder}
	}
	for _, p := range trainers {
		p.WaitFor("standby", 1)
	}
	kept := func(flicks int) func() bool {
		return func() bool {
			n := 0
			for _, d := range trainers[0].drills(t) {
				n += len(d.Flicks)
			}
			return n == flicks
		}
	}
	for _, p := range trainers {
		p.flick()
	}
	require.Eventually(t, kept(2), termtest.Patience, 5*time.Millisecond)
	require.NoError(t, trainers[0].Process.Process.Signal(syscall.SIGKILL))
	trainers[0].WaitForEnd()
	trainers[1].flick()
	require.Eventually(t, kept(3), termtest.Patience, 5*time.Millisecond)
	trainers[1].Type("\x03")
	require.Zero(t, trainers[1].WaitForEnd())
	h, err := history.At(folder).Read()
	require.NoError(t, err)
	require.Empty(t, h.Damage)
	require.Len(t, h.Drills, 2)
}

// Closing the window ends practice and keeps all flicks, the current one included.
func TestPracticeSurvivesItsTerminal(t *testing.T) {
	t.Parallel()
	p := startPractise(t, "flick")
	p.WaitFor("standby", 1)
	p.flick()
	p.WaitFor("switch: rest", 2) // the hangup overtakes keys
	p.HangUp()
	p.WaitForEnd()
	drills := p.drills(t)
	require.Len(t, drills, 1)
	require.Len(t, drills[0].Flicks, 1)
}

// Every command that reads a file says so if it is given a folder.
func TestAFolderIsNoFile(t *testing.T) {
	t.Parallel()
	defer compute()()
	folder := workplace(t)
	for _, args := range []string{
		"replay data", "view data", "live --plain data", "calibrate data", "calibrate --bench data",
		"practise --pattern data", "rig show data", "rig check data", "calibrate trials.csv --update data", "compare --rig heron.toml --rig data flight.csv",
	} {
		code, _, errs := runIn(folder, strings.Fields(args)...)
		require.Contains(t, []int{exitUsage, exitUnreadable}, code, args)
		require.Regexp(t, "^flicktally: (cannot read the [a-z]+: )?data is a folder, want a (log )?file\n", errs, args)
	}
}

// A device is never overwritten as a file, and a link is followed only if a file is
// edited.
func TestWhatIsNoPlainFileIsRefused(t *testing.T) {
	t.Parallel()
	defer compute()()
	folder := workplace(t)
	at := func(name string) string { return filepath.Join(folder, name) }
	require.NoError(t, syscall.Mkfifo(at("pipe.svg"), 0o600))
	require.NoError(t, os.Mkdir(at("folder.svg"), 0o700))
	require.NoError(t, os.WriteFile(at("precious"), []byte("kept\n"), 0o600))
	require.NoError(t, os.Symlink("precious", at("link.svg")))
	require.NoError(t, os.Symlink("nowhere", at("loose.svg")))
	require.NoError(t, os.Symlink("heron.toml", at("link.toml")))
	for _, args := range []string{
		"chart flight.csv -o pipe.svg --force", "chart flight.csv -o folder.svg --force",
		"chart flight.csv -o link.svg", "chart flight.csv -o loose.svg",
		"progress --data data --export csv -o /dev/null --force", "live --plain --no-follow --record /dev/null --force flight.csv",
	} {
		code, _, errs := runIn(folder, strings.Fields(args)...)
		require.Equal(t, exitFailed, code, args)
		require.Regexp(t, `found \S+(, which is no plain file, want the name of one| already there, want a new file)`, errs)
	}
	require.NoFileExists(t, at("nowhere"))
	code, _, errs := runIn(folder, "chart", "flight.csv", "-o", "link.svg", "--force")
	require.Zero(t, code, errs)
	content, err := os.ReadFile(at("precious"))
	require.NoError(t, err)
	require.Equal(t, "kept\n", string(content))
	code, _, errs = runIn(folder, "calibrate", "trials.csv", "--update", "link.toml")
	require.Zero(t, code, errs)
	content, err = os.ReadFile(at("heron.toml"))
	require.NoError(t, err)
	require.Contains(t, string(content), "min_press = [")
	target, err := os.Readlink(at("link.toml"))
	require.NoError(t, err)
	require.Equal(t, "heron.toml", target)
}
