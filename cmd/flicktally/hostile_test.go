//go:build unix

package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/bmff/bmfftest"
	"flicktally/trainer"
	"flicktally/trainer/history"
	"flicktally/trainer/term/termtest"
)

// What logs, rigs, journals and names of files hold is not trusted: none of it
// may make a terminal, a browser, a spreadsheet or another reader do anything.

// hostile is text that sets the title of a terminal, clears it, colours it by a
// control character of one byte, whole and as UTF-8, ends a line by another one
// (C1: ECMA-48, 8.3), turns and isolates the direction of writing (UAX #9), is no
// UTF-8, leaves a tag, an attribute and a comment, and begins as a formula does.
const hostile = "=HYPERLINK(1)\x1b]0;owned\x07\x1b[2J\u009b31m\x9b31m\u0085\u202e\u2066\u200f\xff\x7f\"'><script>owned()</script>-->\r\nowned $end #9 |"

// hostileWord is the same in one word, as the names in a waveform are.
var hostileWord = strings.Join(strings.Fields(strings.ReplaceAll(hostile, "$end", "")), "_")

// hostileName is the same without what no name of a file can hold.
var hostileName = strings.ReplaceAll(hostile, "/", "")

// hostileFolder holds a log, a rig, trials, clips, a pattern and a journal full of it.
func hostileFolder(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	quoted, err := json.Marshal(hostile) // is a basic string of TOML too
	require.NoError(t, err)
	quoted = bytes.ReplaceAll(quoted, []byte("\x7f"), []byte(`\u007f`)) // which TOML refuses as it is
	header := "time_us," + csvField(hostile) + "," + csvField(hostile) + "\n"
	write(hostileName+".csv", header+"0,1000,1\n100000,2000,1\n400000,1000,1\n900000,2000,1\n930000,1000,1\n3000000,1000,1\n"+header+"0,1000,1\n5,1000,1\n")
	write("same.csv", header+"0,1000,1\n")
	write("broken.csv", "time_us,"+csvField(hostile)+"\n0,"+csvField(hostile)+"\n")
	write("junk.csv", hostile+"\n"+hostile+"\n")
	write("wire.vcd", "$timescale 1 us $end $scope module \x1b[2J\u009b $end $var wire 1 ! \x1b]0;owned\x07 $end $var wire 1 \" b\u202e $end $enddefinitions $end\n#0 0! #9\n")
	write("scope.vcd", "$date "+hostileWord+" $end $version "+hostileWord+" $end $comment "+hostileWord+" $end $timescale 1 us $end $scope module "+
		hostileWord+" $end $var wire 1 ! "+hostileWord+" $end $upscope $end $enddefinitions $end\n#0 0! #100000 1! #400000 0! #900000 1! #930000 0! #3000000\n")
	write("several.vcd", "$timescale 1 us $end $scope module "+hostileWord+" $end $var wire 1 ! "+hostileWord+" $end $var wire 1 \" b"+
		hostileWord+" $end $upscope $end $enddefinitions $end\n#0 0! 0\"\n#9 1!\n")
	require.NoError(t, os.Mkdir(filepath.Join(folder, "card"), 0o700))
	write("card/"+hostileName+".MP4", string(bmfftest.Video(300*time.Millisecond, time.Unix(1e9, 0))))
	write("card/2"+hostileName+".MP4", "\x00\x00\x00\x18ftyp"+hostile)
	write("card/"+hostileName+".MOV", hostile)
	write("words.csv", "time_us,mode,"+csvField(hostile)+"\n0,off,1\n100000,"+csvField(hostile)+",1\n400000,"+csvField("\x1b[2J\u009b \u202e")+",1\n3000000,off,1\n")
	write(hostileName+".tlm", hostileTelemetry(t))
	write("rig.toml", "name = "+string(quoted)+"\n[log]\nchannel = \"#2\"\narmed = \"#3\"\n[camera]\nmin_press = [\"60ms\", \"110ms\"]\n")
	write("broken.toml", "name = 1\n"+string(quoted)+" = \"\x1b[2J\"\n[camera]\nboot = "+string(quoted)+"\n")
	write("key.toml", "[camera]\n"+string(quoted)+" = 1\n")
	write("trials.csv", "hold,outcome,note\n80ms,nothing,"+csvField(hostile)+"\n90ms,toggled,\n1s,toggled,\n2s,long,\n")
	write("broken-trials.csv", "hold,outcome\n"+csvField(hostile)+",nothing\n")
	write("clips.csv", "name,duration\n"+csvField(hostile)+",0.5\n")
	write("broken-clips.csv", "name,duration\nLAKE,"+csvField(hostile)+"\n")
	write("pattern.txt", "name "+strings.ReplaceAll(hostile, "\n", "")+"\npress 300ms\n")
	write("broken-pattern.txt", hostile+"\n")
	hostileJournal(t, filepath.Join(folder, "data"))
	return folder
}

// hostileTelemetry is a recording with hostile text between its frames. No text is
// read from the frames themselves.
func hostileTelemetry(t *testing.T) string {
	t.Helper()
	story, err := txtar.ParseFile("testdata/script/replay_mavlink.txtar")
	require.NoError(t, err)
	i := slices.IndexFunc(story.Files, func(f txtar.File) bool { return f.Name == "regatta.hex" })
	frames, err := unhexed(string(story.Files[i].Data))
	require.NoError(t, err)
	return hostile + string(frames) + hostile + string(frames) + hostile
}

func csvField(text string) string { return `"` + strings.ReplaceAll(text, `"`, `""`) + `"` }

func hostileJournal(t *testing.T, folder string) {
	t.Helper()
	j, err := history.Open(folder)
	require.NoError(t, err)
	d, err := trainer.New(trainer.Setup{Kind: trainer.KindFlick, Rig: sim.DefaultRig(), Seed: 1})
	require.NoError(t, err)
	keep, err := j.Begin(d, history.Context{Device: hostile, RigName: hostile, RigHash: history.RigHash(sim.DefaultRig()), Version: hostile}, time.Unix(1e9, 0))
	require.NoError(t, err)
	d.Start(0, 1000)
	for now := 4 * sim.Second; now < 100*sim.Second; now += 4 * sim.Second {
		d.Move(now, 2000)
		d.Move(now+300*sim.Millisecond, 1000)
		d.Tick(now + sim.Second)
		require.NoError(t, keep())
	}
	file, err := os.OpenFile(j.File(), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = file.WriteString(hostile + "\n")
	require.NoError(t, err)
	require.NoError(t, file.Close())
}

func TestHostileContentStaysContent(t *testing.T) {
	t.Parallel()
	files := hostileFolder(t)
	log := hostileName + ".csv"
	for _, test := range []struct {
		args string // LOG stands for the name of the log
		code int
		out  string // the file that is written, besides
	}{
		{"replay LOG", 0, ""},
		{"replay --json LOG", 0, ""},
		{"replay --clips clips.csv same.csv", 0, ""},
		{"replay --clips broken-clips.csv same.csv", 3, ""},
		{"replay --channel HOSTILE same.csv", 3, ""},
		{"replay --armed HOSTILE same.csv", 3, ""},
		{"replay --time HOSTILE same.csv", 3, ""},
		{"replay broken.csv", 3, ""},
		{"replay --lenient broken.csv", 3, ""},
		{"replay junk.csv", 3, ""},
		{"replay wire.vcd", 3, ""},
		{"replay --wire HOSTILE wire.vcd", 3, ""},
		{"replay HOSTILE.not", 3, ""},
		{"replay --rig broken.toml LOG", 2, ""},
		{"replay --rig key.toml LOG", 2, ""},
		{"replay --rig HOSTILE.not LOG", 2, ""},
		{"replay --seen HOSTILE LOG", 2, ""},
		{"replay --unit HOSTILE LOG", 2, ""},
		{"replay --delimiter HOSTILE LOG", 2, ""},
		{"view --print LOG", 0, ""},
		{"chart LOG -o c.svg", 0, "c.svg"},
		{"chart LOG -o c.pdf", 0, ""},
		{"chart --kind holds LOG -o h.svg", 0, "h.svg"},
		{"chart --kind takes LOG same.csv -o t.svg", 0, "t.svg"},
		{"chart LOG -o HOSTILE.jpg", 2, ""},
		{"chart --size HOSTILE LOG -o s.svg", 2, ""},
		{"report LOG -o p.html", 0, "p.html"},
		{"report LOG same.csv -o s.html", 0, "s.html"},
		{"report LOG -o HOSTILE.html", 0, hostileName + ".html"},
		{"export LOG -o e.csv", 0, "e.csv"},
		{"export --what presses LOG -o e2.csv", 0, "e2.csv"},
		{"export LOG -o e.jsonl", 0, "e.jsonl"},
		{"export LOG -o e.vtt", 0, "e.vtt"},
		{"export --clip all LOG -o clip.vtt", 0, "clip-1-clip1.vtt"},
		{"export LOG -o e.vcd", 0, "e-1.vcd"},
		{"export --what HOSTILE LOG -o f.vcd", 2, ""},
		{"rig show", 0, ""},
		{"rig show broken.toml", 2, ""},
		{"rig check", 0, ""},
		{"rig check --json", 0, ""},
		{"bench", 0, ""},
		{"bench -o card.html", 0, "card.html"},
		{"calibrate trials.csv", 0, ""},
		{"calibrate trials.csv --update rig.toml", 0, ""},
		{"calibrate broken-trials.csv", 3, ""},
		{"progress --data data", 0, ""},
		{"progress --data data --export csv", 0, ""},
		{"progress --data data --export trials-csv", 0, ""},
		{"progress --data data --export json", 0, ""},
		{"progress --data data --chart holds -o progress.svg", 0, "progress.svg"},
		{"progress --data data --log HOSTILE", 2, ""},
		{"progress --data data --device HOSTILE", 0, ""},
		{"practise HOSTILE", 2, ""},
		{"practise --pattern pattern.txt", 1, ""},
		{"practise --pattern broken-pattern.txt", 2, ""},
		{"practise --help", 0, ""},
		{"compare --with camera.boot=5s LOG", 0, ""},
		{"compare --with camera.boot=5s --json LOG", 0, ""},
		{"compare --with camera.boot=5s LOG -o compare.svg", 0, "compare.svg"},
		{"compare --with HOSTILE LOG", 2, ""},
		{"odds --data data", 0, ""},
		{"odds --data data --json", 0, ""},
		{"live --no-follow --plain LOG", 0, ""},
		{"live --no-follow --jsonl LOG", 0, ""},
		{"live --no-follow --plain --record live.csv LOG", 0, "live.csv"},
		{"HOSTILE", 2, ""},
		{"replay --HOSTILE", 2, ""},
		{"help HOSTILE", 2, ""},
	} {
		t.Run(test.args, func(t *testing.T) {
			t.Parallel()
			defer compute()()
			folder := copyOf(t, files)
			args := strings.Fields(test.args)
			for i := range args {
				args[i] = strings.ReplaceAll(strings.ReplaceAll(args[i], "LOG", log), "HOSTILE", hostileName)
			}
			code, out, errs := runIn(folder, args...)
			require.Equal(t, test.code, code, out+errs)
			require.NotContains(t, errs, "goroutine ")
			requireHarmless(t, out+errs)
			if test.out != "" {
				content, err := os.ReadFile(filepath.Join(folder, test.out))
				require.NoError(t, err)
				requireHarmlessFile(t, filepath.Ext(test.out), string(content))
			}
		})
	}
}

// Every string of every reader goes into every view: the names of columns, of
// scopes and wires, of files and of the rig, words in cells, the card's, and what is
// beside them and between the frames of telemetry.
func TestEveryStringIntoEveryView(t *testing.T) {
	t.Parallel()
	files := hostileFolder(t)
	inputs := map[string][]string{
		"a table": {hostileName + ".csv"}, "a waveform": {"scope.vcd"}, "a waveform of several wires": {"several.vcd"}, "a broken table": {"broken.csv"}, "junk": {"junk.csv"},
		"words": {"--channel", "mode", "--words", "owned", "words.csv"}, "a word that is no scale": {"--channel", "mode", "words.csv"},
		"telemetry": {"--channel", "aux2", hostileName + ".tlm"}, "telemetry of another line": {"--channel", hostile, hostileName + ".tlm"},
	}
	readable := []string{"a table", "a waveform", "words", "telemetry"}
	views := []struct{ args, out string }{
		{"replay LOG", ""}, {"replay --json LOG", ""}, {"replay --clips clips.csv LOG", ""}, {"replay --clips card LOG", ""}, {"view --print LOG", ""},
		{"chart LOG -o v.svg", "v.svg"}, {"report LOG -o v.html", "v.html"}, {"report --clips card LOG -o v.html", "v.html"},
		{"export LOG -o v.csv", "v.csv"}, {"export LOG -o v.jsonl", "v.jsonl"}, {"export LOG -o v.vtt", "v.vtt"}, {"export LOG -o v.vcd", "v.vcd"},
		{"compare --with camera.boot=5s LOG", ""}, {"live --no-follow --plain --record v.csv LOG", "v.csv"}, {"live --no-follow --jsonl LOG", ""},
		{"practise --flight LOG", ""},
	}
	for name, log := range inputs {
		for _, view := range views {
			t.Run(name+", "+view.args, func(t *testing.T) {
				t.Parallel()
				defer compute()()
				folder := copyOf(t, files)
				args := strings.Fields(view.args)
				at := slices.Index(args, "LOG")
				args = slices.Replace(args, at, at+1, log...)
				code, out, errs := runIn(folder, args...) // an error is a view as well
				if view.args == "replay LOG" {
					require.Equal(t, slices.Contains(readable, name), code == exitDone, errs)
				}
				require.NotEmpty(t, out+errs+view.out)
				require.NotContains(t, errs, "goroutine ")
				requireHarmless(t, out+errs)
				if content, err := os.ReadFile(filepath.Join(folder, view.out)); err == nil {
					requireHarmlessFile(t, filepath.Ext(view.out), string(content))
				}
			})
		}
	}
}

func TestHostileContentOnScreens(t *testing.T) {
	t.Parallel()
	for _, args := range []string{
		"practise pattern --pattern pattern.txt --data data --resolution 9ms", "view LOG", "live --no-follow LOG",
		"view scope.vcd", "live --no-follow scope.vcd",
	} {
		t.Run(args, func(t *testing.T) {
			t.Parallel()
			fields := strings.Fields(args)
			for i := range fields {
				fields[i] = strings.ReplaceAll(fields[i], "LOG", hostileName+".csv")
			}
			command := asFlicktally(fields...)
			command.Dir = hostileFolder(t)
			c := termtest.Start(t, command)
			shown := "owned"
			if args == "view scope.vcd" {
				shown = "scope.vcd" // the names within may have no place
			}
			c.WaitFor(termtest.EnterScreen, 1) // before, a key is the terminal's
			before, _, _ := strings.Cut(c.Seen(), termtest.EnterScreen)
			c.WaitFor(shown, 1+strings.Count(before, shown))
			c.Type("?") // the help too
			c.Type("?\x03")
			c.WaitForEnd()
			for _, acts := range []string{"\x1b]0;", "\u009b", "\x9b31m", "\u0085", "\u202e", "\u2066", "\u200f", "\xff", "<script>owned()</script>-->\r\n"} {
				require.NotContains(t, c.Seen(), acts)
			}
		})
	}
}

// requireHarmless checks that a text is only shown by a terminal.
func requireHarmless(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		for _, r := range strings.TrimSuffix(strings.TrimSuffix(line, "\n"), "\r") {
			require.True(t, unicode.IsPrint(r) || r == '\t', "%q in %q", r, line)
		}
	}
}

// requireHarmlessFile checks a file as the programs that it is for read it.
func requireHarmlessFile(t *testing.T, ending, content string) {
	t.Helper()
	requireHarmless(t, content)
	switch ending {
	case ".svg", ".html":
		requireNoTag(t, content, "script>owned")
		if ending == ".svg" {
			requireXML(t, content)
		}
	case ".csv":
		requireNoFormula(t, content)
	case ".jsonl":
		for line := range strings.Lines(content) {
			require.True(t, json.Valid([]byte(line)), line)
		}
	case ".vtt":
		for line := range strings.Lines(content) {
			require.NotRegexp(t, "owned.*-->|-->.*owned", line)
		}
	case ".vcd":
		require.NotContains(t, content, "$end #9")
	}
}

func requireNoTag(t *testing.T, page, tag string) {
	t.Helper()
	require.NotContains(t, page, "<"+tag)
}

func requireXML(t *testing.T, text string) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(text))
	for {
		_, err := decoder.Token()
		if err == io.EOF {
			return
		}
		require.NoError(t, err)
	}
}

func requireNoFormula(t *testing.T, text string) {
	t.Helper()
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		for _, field := range row {
			if strings.ContainsAny(field[:min(1, len(field))], "=+-@") {
				_, err := strconv.ParseFloat(field, 64)
				require.NoError(t, err, fmt.Sprint(row))
			}
		}
	}
}
