package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// seenFlags are the flags for what somebody saw of a flight.
type seenFlags struct {
	glances []string
	clips   clipFlags
}

// seenHelp explains the flags in the help of a command.
const seenHelp = `
Where the rig gives min_press or long_press as a range, or an unknown start, the
likeliest course of events is shown, doubtful presses are marked, and the chance
of recording is told for every moment. What was seen of the camera narrows that
down, and may overrule what the log says ([doubt] in the rig). --seen tells of a
look at its light, --clips what is on its card: the card's folder, or single video
files (MP4, MOV; only their headers are read, and nothing is written), or a list
(CSV: duration, and if you have it start and name). Parts that the camera split are
joined; in a list every file is whole.`

func (f *seenFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.glances, "seen", nil, "what the camera's light showed: `TIME=recording`, standby or off, with several logs LOG@TIME=…; may be repeated")
	f.clips.add(flags)
}

// sightings is what somebody saw of the flights.
type sightings struct {
	belief.Observations // of one flight; the glances of several stand in byLog
	byLog               map[string][]belief.Glance
	card                *cardSeen // nil where it was not read
}

// none reports whether nothing was seen.
func (s sightings) none() bool { return s.None() && s.byLog == nil && s.card == nil }

// read returns what was seen, given that the logs are replayed.
func (a *app) readSeen(f *seenFlags, logs []string) (sightings, error) {
	seen := sightings{Observations: belief.Observations{ClipError: sim.Micros(f.clips.clipError)}}
	for _, text := range f.glances {
		if err := seen.addGlance(text, logs); err != nil {
			return seen, problem.WrongUsage(fmt.Errorf("--seen: %w", err))
		}
	}
	var err error
	seen.card, err = a.readClips(&f.clips)
	return seen, err
}

// addGlance takes a look at the light, which names its log where there are
// several.
func (s *sightings) addGlance(text string, logs []string) error {
	log, when := "", text
	if i := strings.LastIndexByte(text, '@'); i >= 0 {
		log, when = text[:i], text[i+1:]
	}
	g, err := belief.ParseGlance(when)
	if err != nil {
		return err
	}
	if log == "" && len(logs) < 2 {
		s.Seen = append(s.Seen, g)
		return nil
	}
	path, err := logNamed(log, text, logs)
	if err != nil {
		return err
	}
	if s.byLog == nil {
		s.byLog = map[string][]belief.Glance{}
	}
	s.byLog[path] = append(s.byLog[path], g)
	return nil
}

// logNamed returns which of the logs a look at the light names: by its path, or
// by its name without the folder where that says which.
func logNamed(name, text string, logs []string) (string, error) {
	example := fmt.Sprintf("such as %s@0:12.5=recording", filepath.Base(logs[0]))
	if name == "" {
		return "", fmt.Errorf("found %q and %d logs, want the one in which that was seen before the time, %s", text, len(logs), example)
	}
	var found []string
	for _, path := range logs {
		if name == path {
			return path, nil
		}
		if name == filepath.Base(path) {
			found = append(found, path)
		}
	}
	switch len(found) {
	case 0:
		return "", fmt.Errorf("found %q, want LOG@TIME=recording with one of the logs, %s", text, example)
	case 1:
		return found[0], nil
	default:
		return "", fmt.Errorf("found %q and several logs of that name, want one with its folder, such as %s", text, found[0])
	}
}

// of returns the glances of a flight.
func (s *sightings) of(f flight.Flight) ([]belief.Glance, error) {
	glances := slices.Concat(s.Seen, s.byLog[f.File])
	if len(glances) > 0 && f.Segments > 1 {
		return nil, errOneFlight
	}
	return glances, nil
}

var errOneFlight = problem.WrongUsage(errors.New("found several flights in one log, want one for --seen"),
	"each flight has times of its own; flicktally export --what log --segment N writes one of them")

// silence is how long nothing is said while a long work is done.
const silence = time.Second

// judging is judge with a word on the terminal where it takes long.
func (t *talk) judging(flights []flight.Flight, opts replayOptions) error {
	return t.sayingSo(time.AfterFunc, func() error { return judge(flights, opts) })
}

// sayingSo works, and says so on the terminal if it takes longer than silence.
func (t *talk) sayingSo(after func(time.Duration, func()) *time.Timer, work func() error) error {
	slow := after(silence, func() { t.progress("weighing what each press may have done") })
	defer t.progress("")
	defer slow.Stop()
	return work()
}

// judge works out what is known of flights that share a camera and its card.
func judge(flights []flight.Flight, opts replayOptions) error {
	for i := range flights {
		var err error
		if flights[i].Seen, err = opts.seen.of(flights[i]); err != nil {
			return err
		}
	}
	return judgeWith(flights, opts.limits, opts.seen.card, opts.seen.ClipError)
}

// judgeWith is judge for flights that have their glances.
func judgeWith(flights []flight.Flight, limits tell.Limits, card *cardSeen, clipError sim.Micros) error {
	seen, lines := card.addTo(belief.Observations{ClipError: clipError}, flights)
	if err := flight.Judge(flights, limits, seen); err != nil {
		return problem.WrongUsage(err)
	}
	for i := range flights {
		flights[i].Card = lines
	}
	return nil
}
