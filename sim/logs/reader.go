// Package logs opens the logs that the user names, replays them, and evaluates
// what was observed of their flights: looks at the camera's light, and the clips
// on its card. Typical use:
//
//	var seen logs.Seen
//	err := seen.AddGlance("0:12.5=recording", paths)
//	seen.Clips, err = reader.Clips(folder)
//	flights, err := reader.Replay(paths, rig, how, logs.Options{Limits: limits, Seen: seen})
//
// Errors are marked with who can fix them (package problem).
package logs

import (
	"errors"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/mavlink"
	"flicktally/sim/problem"
	"flicktally/sim/source"
	"flicktally/sim/tell"
)

// Reader reads logs and lists of clips.
type Reader struct {
	Desk *files.Desk
	// Progress shows the progress of long work; "" says that it is done. It is
	// nil if nobody would see it.
	Progress func(text string)
}

// How says how to read logs, beyond the rig.
type How struct {
	Delimiter chanlog.Delimiter
	Lenient   bool   // skip lines of CSV that cannot be read
	Wire      string // of a waveform; "" = the only one
	System    uint8  // of telemetry; 0 = the one with most frames
	NoRig     bool   // there is no rig file that could name the columns
}

// Options returns how to read a source with the rig. The zero Thinning leaves
// out nothing.
func (h How) Options(rig sim.Rig, thin sim.Thinning) source.Options {
	return source.Options{Spec: rig.Log, Delimiter: h.Delimiter, Lenient: h.Lenient, Wire: h.Wire, System: h.System, Thin: thin, Valid: rig.Switch.Valid}
}

// Options says what [Reader.Replay] does beyond the chain.
type Options struct {
	flight.Options
	Limits tell.Limits
	Seen   Seen // of the flights
}

// Replay replays every segment of the logs. A path of "-" is standard input.
func (r *Reader) Replay(paths []string, rig sim.Rig, how How, opts Options) ([]flight.Flight, error) {
	outing := !opts.Seen.None() && len(paths) > 1
	var all []flight.Flight
	for _, path := range paths {
		flights, err := r.Read(path, rig, how, opts.Options)
		if err == nil && !outing {
			err = r.Judge(flights, opts)
		}
		if err != nil {
			return nil, err
		}
		all = append(all, flights...)
	}
	if outing { // what was seen of one flight affects the others
		return all, r.Judge(all, opts)
	}
	return all, nil
}

// Read replays the segments of one log without judging them.
func (r *Reader) Read(path string, rig sim.Rig, how How, opts flight.Options) ([]flight.Flight, error) {
	all, err := r.readWith(path, []sim.Rig{rig}, how, opts)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// readWith replays the segments of one log with each rig, in one pass, without
// judging them.
func (r *Reader) readWith(path string, rigs []sim.Rig, how How, opts flight.Options) ([][]flight.Flight, error) {
	var thin sim.Thinning
	if len(rigs) == 1 { // a sample without effect on one rig may have one on another
		thin = sim.NewThinning(rigs[0])
		thin.First = 256 // the first rows give the step of the log
		thin.Exact = opts.TraceBins > 0
	}
	log, err := r.Open(path, rigs[0], how, thin)
	if err != nil {
		return nil, err
	}
	defer log.Close()
	all, err := flight.ReadWith(log, path, rigs, opts)
	if err != nil {
		return nil, how.Unreadable(err)
	}
	return all, nil
}

// Unreadable marks an error in reading a log, and adds the flags that may help.
func (h How) Unreadable(err error) error {
	const (
		lenient = "--lenient skips what cannot be read, and takes a log that breaks off up to there"
		columns = "--time, --unit, --channel and --delimiter say how to read the log"
	)
	var place *chanlog.SyntaxError
	var channel *mavlink.LineError
	switch {
	case problem.KindOf(err) != problem.Failed:
		return err
	case errors.As(err, &channel):
		return problem.WrongUsage(err)
	case errors.As(err, &place) && place.Misfit && h.NoRig:
		return problem.CannotRead(err, "no rig file was found that names the columns: flicktally rig new --ask makes one", columns)
	case errors.Is(err, chanlog.ErrBreaksOff):
		return problem.CannotRead(err, lenient)
	case errors.As(err, &place) && place.Skippable:
		return problem.CannotRead(err, lenient)
	case errors.As(err, &place) && place.Text != "" && problem.IsMarked(err): // with a hint on the columns
		return problem.CannotRead(err, columns)
	}
	return problem.CannotRead(err)
}
