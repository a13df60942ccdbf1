package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/export"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/trainer/livelines"
	"flicktally/trainer/liveview"
	"flicktally/trainer/term"
)

type liveFlags struct {
	logFlags
	transmitterFlags
	clips    clipFlags
	udp      string
	from     string
	baud     uint32
	noFollow bool
	record   string
	final    string
	force    bool
	plain    bool
	jsonl    bool
	every    sim.Micros
	keys     bool
	say      string
	bell     bool
}

const liveLong = `Live runs its input through the rig's chain as it arrives, and shows at a glance
what the camera should be doing: the state with its chance, the time in the take,
when the next press will count, and a warning before a press becomes long. Tell it
what the camera's light shows with a key (r recording, s standby, o off). It never
controls the camera or the craft.

SOURCE is one of:
  -            standard input: CSV rows or MAVLink, detected from the content
  a file       a log that grows while it is read (--no-follow: up to its end)
  a device     a serial device with MAVLink or CSV, such as /dev/ttyUSB0 or COM3
and without a SOURCE:
  --udp PORT   MAVLink or CSV in datagrams, on this machine only unless an
               address is given (--udp 192.168.4.2:14550)
  --joystick   a transmitter on USB; live finds its switch when you flick it,
               unless --switch names it

--clips is read at the end, when the card is available; the report of the flight,
or of all flights received, then takes its clips into account.

In the first two seconds, live chooses the format and the sender that it receives
most often. It counts and names the others; --from and --system choose one. A row
that cannot be read is left out, counted and shown; live waits for a device or a
file to come back. If the sender's clock restarts, the tally and its time continue;
after a minute of silence a new flight starts.

--record saves the input as a log that replays to the same result. It writes each
row as it comes, so that the log survives a crash. Times are those of the stream,
except after a restart of its clock. Comments in the log say what was left out.
Two programs never write the same record.

--say runs a program once and writes each change to it as a line, for speech. The
program never delays the tally: if it lags, lines are dropped. --bell rings once
when a take begins, twice when it ends, three times for a flick that failed.

If standard output is not a terminal, or with --plain, lines of text report every
press and every change; --jsonl prints the same for scripts and overlays:
  {"event":"press", "segment":1, and the keys of a press in replay --json}
  {"event":"flick", the same for a flick that never reached the camera}
  {"event":"tally", "at_us", "segment", "input": waiting|running|lost|ended,
   "lost_for_us", "state", "recording": chance or null, "open": is it open,
   "take": {"n","start_us","length_us"}, "takes", "recorded_us",
   "press": {"n","down_us","held_us","phase","long_at_us"}, "safe_at_us": the
   time from which a press counts, or null, "seen", "doubts": [text], "notice":
   what is wrong with the input, if anything, "about": what is read and left out}
where phase is too-short, may-count, counts, let-go, may-be-long, long, ignored.

The tally is modelled and proves nothing. Let somebody else watch it; the pilot
watches the craft.`

func newLive(a *app) *cobra.Command {
	var flags liveFlags
	cmd := &cobra.Command{
		Use:   "live [SOURCE]",
		Short: "Keep the tally during a flight",
		Long:  liveLong,
		Example: `  flicktally live --udp 14550 --channel aux2 --record regatta.csv
  flicktally live growing.csv
  receiver-to-csv | flicktally live --rig heron.toml -
  flicktally live --joystick --plain
  flicktally live --udp 14550 --jsonl | overlay`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.live(args, &flags) },
	}
	flags.add(cmd)
	return cmd
}

func (f *liveFlags) add(cmd *cobra.Command) {
	f.logFlags.add(cmd)
	f.transmitterFlags.add(cmd)
	flags := cmd.Flags()
	flags.StringVar(&f.udp, "udp", "", "listen on this `port`, or address and port")
	flags.StringVar(&f.from, "from", "", "listen only to datagrams from this `host` (default: the one heard most)")
	flags.Uint32Var(&f.baud, "baud", 57600, "speed of a serial device")
	flags.BoolVar(&f.noFollow, "no-follow", false, "stop at the end of a file, instead of waiting for more")
	flags.StringVar(&f.record, "record", "", "save the input as a log in this `file`; - is standard output (text then goes to standard error)")
	flags.StringVar(&f.final, "final", "", "at the end, write what replay --json prints to this `file`; - is standard output")
	f.clips.add(flags)
	addForceFlag(flags, &f.force)
	flags.BoolVar(&f.plain, "plain", false, "print lines of text instead of opening a screen")
	flags.BoolVar(&f.jsonl, "jsonl", false, "print lines of JSON instead of opening a screen")
	f.every = sim.Second
	addDuration(flags, &f.every, "every", "with --jsonl, print the tally at least this often")
	flags.StringVar(&f.say, "say", "", "run this shell `command`, such as a speech program, and write each change to it as a sentence")
	flags.BoolVar(&f.bell, "bell", false, "ring the terminal's bell: once when a take begins, twice when it ends, three times for a failed flick")
	flags.BoolVar(&f.keys, "keys", false, "with --plain or --jsonl, read lines with r, s, o, u or q from standard input")
}

// live keeps the tally to its end, then reports on the flight.
func (a *app) live(args []string, f *liveFlags) error {
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return err
	}
	in, err := a.openLive(args, f, file.Rig)
	if err != nil {
		return err
	}
	if err := a.checkFinal(f); err != nil {
		return err
	}
	a.talk.standAside(f.record, f.final)
	record, err := a.createRecord(f.record, f.force)
	if err != nil {
		return err
	}
	start := time.Now()
	s := session.New(file.Rig, func() sim.Micros { return sim.Micros(time.Since(start).Microseconds()) }, record)
	out, restore := a.talk.neverWait()
	defer restore()
	announced, err := livelines.Aloud{
		Say: f.say, Bell: f.bell, Whole: f.noFollow, Screen: a.hasScreen(f), Err: a.talk.err, Note: a.talk.note,
	}.Start(s)
	if err != nil {
		return err
	}
	s.Read(in)
	shown := a.showLive(s, liveTitle(file.Rig, in.Name), out, f)
	announced()
	return errors.Join(shown, a.finishLive(s.Finish(), in.Name, out, f))
}

// checkFinal refuses at the start what could not be written at the end.
func (a *app) checkFinal(f *liveFlags) error {
	switch {
	case f.plain && f.jsonl:
		return problem.WrongUsage(errors.New("found --plain and --jsonl, want only one of them"))
	case f.record == "-" && f.final == "-":
		return problem.WrongUsage(errors.New("found - for both --record and --final, want only one of them on standard output"))
	}
	if f.final == "" {
		return nil
	}
	return a.files.MayWrite(f.final, f.force)
}

// showLive shows the tally until the user, a signal or the end of the input
// ends it.
func (a *app) showLive(s *session.Session, title string, out *livelines.Outlet, f *liveFlags) error {
	if a.hasScreen(f) {
		err := term.Run(liveview.New(title, s), s.Watch)
		var noScreen *term.NoScreenError
		if !errors.As(err, &noScreen) {
			return err
		}
		a.talk.note("%v; lines are printed instead", err)
	}
	lines := livelines.Options{JSON: f.jsonl, Every: f.every, Whole: f.noFollow, Keeps: f.record != "" || f.final != "", Note: a.talk.note}
	if f.keys {
		lines.Keys = a.in
	}
	return livelines.Tell(s, out, lines)
}

// hasScreen reports whether the tally has a screen of its own.
func (a *app) hasScreen(f *liveFlags) bool { return !f.jsonl && !f.plain && a.talk.outTTY }

func liveTitle(rig sim.Rig, name string) string {
	title := "live from " + excerpt.Printable(name)
	if rig.Name != "" {
		title = excerpt.Printable(rig.Name) + ", " + title
	}
	return title
}

// finishLive writes the files of the flight and prints its report. It returns what
// went wrong with the input or the record. It writes the files before it waits for
// a reader of standard output.
func (a *app) finishLive(flown session.Result, name string, out *livelines.Outlet, f *liveFlags) error {
	if flown.Recorded {
		name = f.record
	}
	card, noCard := a.logs.Clips(f.clips.paths)
	flights, err := flown.Judge(name, card, f.clips.clipError)
	if err == nil {
		err = a.writeFinal(flown.Final(flights), f)
	}
	a.noteLive(flown, f)
	unread := out.Close(a.talk.note)
	if err == nil && !f.jsonl && len(flights) > 0 {
		a.talk.Flights(flights, true)
	}
	failure := flown.Record
	if failure == nil && flown.Input != nil {
		failure = logs.How{NoRig: a.noRig}.Unreadable(flown.Input)
	}
	return errors.Join(failure, err, noCard, unread)
}

// writeFinal writes the file of the flight.
func (a *app) writeFinal(flights []flight.Flight, f *liveFlags) error {
	if f.final == "" || len(flights) == 0 {
		return nil
	}
	return a.files.Write(f.final, f.force, func(w io.Writer) error { return export.Replays(w, flights) })
}

// noteLive notes what was left out, the state of the input at the end, and how to
// replay the record.
func (a *app) noteLive(flown session.Result, f *liveFlags) {
	for _, note := range flown.Notes() {
		a.talk.note("%s", note)
	}
	if len(flown.Flights) > 0 && flown.Recorded && f.record != "-" {
		a.talk.note("recorded; to replay it: %s", excerpt.Printable(replayCommand(flown.Flights, f)))
	}
}

// replayCommand returns the command that replays the record.
func replayCommand(flown []live.Flight, f *liveFlags) string {
	command := []string{"flicktally replay"}
	if f.rig != "" {
		command = append(command, "--rig", f.rig)
	}
	if len(flown) == 1 {
		for _, g := range flown[0].Seen {
			command = append(command, "--seen", g.String())
		}
	}
	return strings.Join(append(command, f.record), " ")
}

// createRecord opens the file of the record; nil if none is requested.
func (a *app) createRecord(path string, force bool) (*session.Record, error) {
	switch path {
	case "":
		return nil, nil
	case "-":
		return session.RecordTo(flushing{a.talk.results}), nil
	}
	if err := a.files.MayWrite(path, force); err != nil {
		return nil, err
	}
	_, err := os.Stat(path)
	record, err := session.CreateRecord(path, err == nil)
	if errors.Is(err, files.ErrLocked) {
		return nil, fmt.Errorf("cannot record into %s: %w", path, err)
	}
	if err != nil {
		return nil, fmt.Errorf("cannot write the record: %w", err)
	}
	return record, nil
}
