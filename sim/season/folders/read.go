package folders

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/lists"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/season"
	"flicktally/sim/tell"
)

// Reading says how to read the flights of a season.
type Reading struct {
	Logs      *logs.Reader
	How       logs.How
	File      rigfile.File                       // the season's rig
	Rig       func(path string) (sim.Rig, error) // the rig of an outing that has its own
	ClipError sim.Micros                         // by how much a clip's duration may be off
	KeptIn    string                             // the folder for cached results; "" = none
	Fresh     bool                               // read every log again
	Version   string                             // of the program: another may judge flights otherwise
}

// Read finds the flights in folders and evaluates the outings. Without a flight
// it fails and says what was left out.
func (r Reading) Read(paths ...string) ([]season.Outing, []season.LeftOut, error) {
	w := &worker{Reading: r}
	err := w.read(paths)
	return w.outings, w.leftOut, err
}

// worker evaluates the outings of a season one after the other, so that only
// one log is in memory.
type worker struct {
	Reading
	outings []season.Outing
	leftOut []season.LeftOut

	began      time.Time
	bytes, all int64 // of the logs: done, and in all
	logs, of   int
}

func (r *worker) read(paths []string) error {
	found, err := Find(paths...)
	if err != nil {
		return problem.CannotRead(fmt.Errorf("cannot look for flights: %w", err))
	}
	r.leftOut = found.LeftOut
	for _, o := range found.Outings {
		for _, path := range o.files() {
			r.Logs.Desk.Reads(path)
		}
		for _, log := range o.Logs {
			r.all += log.Size
			r.of++
		}
	}
	r.began = time.Now()
	kept := cache{r.KeptIn, r.Fresh}
	for _, o := range found.Outings {
		key := ""
		if rig, err := r.rigOf(o); err == nil {
			key = o.Key(r.options(rig))
		}
		outing, known := kept.Get(key)
		if !known {
			left := len(r.leftOut)
			outing = r.work(o)
			if len(r.leftOut) == left {
				kept.Put(key, outing)
			}
		}
		r.count(o)
		if len(outing.Flights) > 0 {
			r.outings = append(r.outings, outing)
		}
	}
	r.progress("")
	for _, trials := range found.Trials {
		r.addTrials(trials)
	}
	if len(r.outings) == 0 {
		return problem.CannotRead(fmt.Errorf("found no flight in %s, want a folder with logs in it, in any depth", strings.Join(paths, ", ")))
	}
	return nil
}

// options returns a text that differs if the rig, or how to read its logs, does.
func (r *worker) options(rig sim.Rig) string {
	h := r.How
	return fmt.Sprintf("%s\n%s\n%s\n%v %s %d %t %d", r.Version, rigfile.Format(r.File), rigfile.Format(rigfile.File{Rig: rig}), h.Delimiter, h.Wire, h.System, h.Lenient, r.ClipError)
}

// count counts the logs of an outing as done and shows the progress.
func (r *worker) count(o Outing) {
	for _, log := range o.Logs {
		r.bytes += log.Size
		r.logs++
	}
	if r.bytes == 0 || r.logs == r.of {
		return
	}
	left := time.Duration(float64(time.Since(r.began)) * float64(r.all-r.bytes) / float64(r.bytes))
	r.progress(fmt.Sprintf("log %d of %d, about %s left", r.logs, r.of, sim.Micros(left.Microseconds()).Readable()))
}

// leave reports once why a file is left out: outings of one folder share files.
func (r *worker) leave(path string, why error) {
	left := season.LeftOut{File: filepath.ToSlash(path), Why: why.Error()}
	if !slices.Contains(r.leftOut, left) {
		r.leftOut = append(r.leftOut, left)
	}
}

func (r *worker) progress(text string) {
	if r.Logs.Progress != nil {
		r.Logs.Progress(text)
	}
}

// work replays the logs of an outing and evaluates its observations.
func (r *worker) work(o Outing) season.Outing {
	out := season.Outing{Folder: filepath.ToSlash(o.Folder)}
	rig, err := r.rigOf(o)
	if err != nil {
		for _, log := range o.Logs {
			r.leave(log.Path, err)
		}
		return out
	}
	var flights []flight.Flight
	saved := map[string]time.Time{}
	for _, log := range o.Logs {
		read, err := r.Logs.Read(log.Path, rig, r.How, flight.Options{})
		if err != nil {
			r.leave(log.Path, err)
			continue
		}
		flights = append(flights, read...)
		saved[log.Path] = log.Saved
	}
	if len(flights) == 0 {
		return out
	}
	seen := r.seen(o)
	if err := logs.Judge(flights, logs.Options{Limits: tell.DefaultLimits(), Seen: seen}); err != nil {
		r.leave(o.Folder, fmt.Errorf("reported without the observations: %w", err))
		seen = logs.Seen{ClipError: seen.ClipError}
		if err := logs.Judge(flights, logs.Options{Limits: tell.DefaultLimits()}); err != nil {
			r.leave(o.Folder, err)
			return out
		}
	}
	for i := range flights {
		out.Glances += len(flights[i].Seen)
		kept := season.FlightOf(&flights[i])
		kept.File, kept.Note = filepath.ToSlash(kept.File), o.Note
		kept.Began, kept.Clock = beganAt(&flights[i], saved[flights[i].File])
		out.Flights = append(out.Flights, kept)
	}
	if seen.Clips != nil {
		n := len(flights[0].Clips)
		out.Clips = &n
	}
	if sameCamera(rig, r.File.Rig) {
		out.Evidence = r.evidence(flights, seen)
	}
	return out
}

// sameCamera reports whether the evidence from one rig's flights about the
// thresholds applies to another rig.
func sameCamera(a, b sim.Rig) bool { return a.Camera == b.Camera }

func (r *worker) rigOf(o Outing) (sim.Rig, error) {
	if o.Rig == "" {
		return r.File.Rig, nil
	}
	return r.Rig(o.Rig)
}

// beganAt returns when a flight began: by the log's own clock, otherwise by the
// time of its file, which was last written at the end of the flight.
func beganAt(f *flight.Flight, saved time.Time) (time.Time, season.Clock) {
	if own := f.Reading.Began; f.Segment <= len(own) && own[f.Segment-1] > 0 {
		return time.UnixMicro(int64(own[f.Segment-1])).UTC(), season.LogClock
	}
	return saved.Add(-time.Duration(f.Replay.End) * time.Microsecond).UTC(), season.FileClock
}

// seen returns the observations beside the logs of an outing.
func (r *worker) seen(o Outing) logs.Seen {
	seen := logs.Seen{ClipError: r.ClipError}
	for _, glance := range o.Seen {
		if err := seen.AddGlance(glance, o.among); err != nil {
			r.leave(o.Folder, err)
		}
	}
	switch {
	case len(o.Lists) > 0:
		list, err := r.Logs.ClipList(o.Lists[0])
		if err != nil {
			r.leave(o.Lists[0], err)
			break
		}
		seen.Clips = list
	case len(o.Videos) > 0:
		seen.Clips = logs.VideoClips(o.Videos)
	}
	return seen
}

// evidence returns what the observations say about the thresholds.
func (r *worker) evidence(flights []flight.Flight, seen logs.Seen) season.Evidence {
	card, _ := seen.Clips.Observed(flights, seen.ClipError)
	o := belief.Outing{Clips: card.Clips, ClipError: card.ClipError}
	for _, f := range flights {
		o.Flights = append(o.Flights, belief.Flight{Replay: f.Replay, Seen: f.Seen})
	}
	evidence, err := belief.Likelihood(o, season.GridOf(r.File.Rig))
	if err != nil { // logs.Judge has already reported it
		return nil
	}
	return evidence
}

// addTrials adds a list of bench trials.
func (r *worker) addTrials(log Log) {
	file, _, err := r.Logs.Desk.Open(log.Path)
	if err != nil {
		r.leave(log.Path, err)
		return
	}
	defer file.Close()
	trials, err := lists.ReadTrials(file, log.Path)
	if err != nil {
		r.leave(log.Path, err)
		return
	}
	r.outings = append(r.outings, season.Outing{
		Folder: filepath.ToSlash(log.Path), Flights: []season.Flight{}, Trials: len(trials), Made: log.Saved.UTC(),
		Evidence: season.TrialsEvidence(r.File.Rig, trials),
	})
}
