package logs

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// Seen is what was observed of flights.
type Seen struct {
	glances   []belief.Glance            // if there is one log
	byLog     map[string][]belief.Glance // if there are several
	Clips     *Clips                     // nil if the card was not read
	ClipError sim.Micros                 // of a clip's duration
}

// None reports whether nothing was seen.
func (s Seen) None() bool { return s.glances == nil && s.byLog == nil && s.Clips == nil }

// AddGlance adds a look at the light, such as "0:12.5=recording". If there are
// several logs, it names one of them: "LOG@0:12.5=recording".
func (s *Seen) AddGlance(text string, logs []string) error {
	log, when := "", text
	if i := strings.LastIndexByte(text, '@'); i >= 0 {
		log, when = text[:i], text[i+1:]
	}
	g, err := belief.ParseGlance(when)
	if err != nil {
		return err
	}
	if log == "" && len(logs) < 2 {
		s.glances = append(s.glances, g)
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

// logNamed returns the log that a look at the light names: by its path, or by its
// name without the folder if that is unambiguous.
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
func (s *Seen) of(f flight.Flight) ([]belief.Glance, error) {
	glances := slices.Concat(s.glances, s.byLog[f.File])
	if len(glances) > 0 && f.Segments > 1 {
		return nil, errOneFlight
	}
	return glances, nil
}

var errOneFlight = problem.WrongUsage(errors.New("found several flights in one log, want one for --seen"),
	"each flight has times of its own; flicktally export --what log --segment N writes one of them")

// silence is how long work may take before a note reports it.
const silence = time.Second

// Judge determines what is known of flights that share a camera and its card. It
// shows a note if that takes long.
func (r *Reader) Judge(flights []flight.Flight, opts Options) error {
	return r.noteIfSlow(time.AfterFunc, func() error { return Judge(flights, opts) })
}

// noteIfSlow runs work, and shows a note if it takes longer than silence.
func (r *Reader) noteIfSlow(after func(time.Duration, func()) *time.Timer, work func() error) error {
	if r.Progress == nil {
		return work()
	}
	slow := after(silence, func() { r.Progress("weighing what each press may have done") })
	defer r.Progress("")
	defer slow.Stop()
	return work()
}

// Judge determines what is known of flights that share a camera and its card.
func Judge(flights []flight.Flight, opts Options) error {
	for i := range flights {
		var err error
		if flights[i].Seen, err = opts.Seen.of(flights[i]); err != nil {
			return err
		}
	}
	return JudgeWith(flights, opts.Limits, opts.Seen.Clips, opts.Seen.ClipError)
}

// JudgeWith is [Judge] for flights that have their glances; clips is nil if the
// card was not read.
func JudgeWith(flights []flight.Flight, limits tell.Limits, clips *Clips, clipError sim.Micros) error {
	seen, lines := clips.Observed(flights, clipError)
	if err := flight.Judge(flights, limits, seen); err != nil {
		return problem.WrongUsage(err)
	}
	for i := range flights {
		flights[i].Card = lines
	}
	return nil
}
