package main

import (
	"fmt"
	"path/filepath"
	"time"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/card"
	"flicktally/sim/flight"
	"flicktally/sim/lists"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/season"
	"flicktally/sim/season/folders"
	"flicktally/sim/tell"
)

// seasonReader works the outings of a season out, one after the other, so that no
// more than one log is held.
type seasonReader struct {
	app     *app
	flags   *seasonFlags
	file    rigfile.File
	outings []season.Outing
	leftOut []season.LeftOut

	began      time.Time
	bytes, all int64 // of the logs: done, and to do
	logs, of   int
}

func (r *seasonReader) read(paths []string) error {
	found, err := folders.Find(paths...)
	if err != nil {
		return problem.CannotRead(fmt.Errorf("cannot look for flights: %w", err))
	}
	r.leftOut = found.LeftOut
	for _, o := range found.Outings {
		for _, path := range o.Files() {
			r.app.files.Reads(path)
		}
		for _, log := range o.Logs {
			r.all += log.Size
			r.of++
		}
	}
	r.began = time.Now()
	kept := folders.KeptIn(keptFolder(r.flags.data), r.flags.fresh)
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
	r.app.talk.progress("")
	for _, trials := range found.Trials {
		r.addTrials(trials)
	}
	if len(r.outings) == 0 {
		r.tellLeftOut()
		return problem.CannotRead(fmt.Errorf("found no flight in %s, want a folder with logs in it, in any depth", filepath.Join(paths...)))
	}
	return nil
}

// options are what else decides a result: the rig, and how to read its logs.
func (r *seasonReader) options(rig sim.Rig) string {
	f := &r.flags.logFlags
	return fmt.Sprintf("%s\n%s\n%s %s %d %t %d", rigfile.Format(r.file), rigfile.Format(rigfile.File{Rig: rig}), f.delimiter, f.wire, f.system, f.lenient, r.flags.clipError)
}

func (r *seasonReader) count(o folders.Outing) {
	for _, log := range o.Logs {
		r.bytes += log.Size
		r.logs++
	}
	if r.bytes == 0 || r.logs == r.of {
		return
	}
	left := time.Duration(float64(time.Since(r.began)) * float64(r.all-r.bytes) / float64(r.bytes))
	r.app.talk.progress(fmt.Sprintf("log %d of %d, about %s left", r.logs, r.of, sim.Micros(left.Microseconds()).Readable()))
}

func (r *seasonReader) leave(path string, why error) {
	r.leftOut = append(r.leftOut, season.LeftOut{File: filepath.ToSlash(path), Why: why.Error()})
}

// tellLeftOut says why there is nothing to tell.
func (r *seasonReader) tellLeftOut() {
	for _, l := range r.leftOut {
		r.app.talk.note("left out %s: %s", l.File, l.Why)
	}
}

// work replays the logs of an outing and weighs what was seen.
func (r *seasonReader) work(o folders.Outing) season.Outing {
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
		read, err := r.app.readLog(log.Path, rig, &r.flags.logFlags, replayOptions{})
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
	if err := judge(flights, replayOptions{limits: tell.DefaultLimits(), seen: seen}); err != nil {
		r.leave(o.Folder, fmt.Errorf("told without what was seen: %w", err))
		seen = sightings{}
		if err := judge(flights, replayOptions{limits: tell.DefaultLimits()}); err != nil {
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
	if seen.card != nil {
		n := len(flights[0].Clips)
		out.Clips = &n
	}
	if sameCamera(rig, r.file.Rig) {
		out.Evidence = r.evidence(flights, seen)
	}
	return out
}

// sameCamera reports whether what one rig's flights tell of the thresholds counts
// for another's.
func sameCamera(a, b sim.Rig) bool { return a.Camera == b.Camera }

func (r *seasonReader) rigOf(o folders.Outing) (sim.Rig, error) {
	if o.Rig == "" {
		return r.file.Rig, nil
	}
	file, err := r.app.loadRig(o.Rig)
	return file.Rig, err
}

// beganAt tells when a flight began: by the log's own clock, else by its file, which
// was written last when the flight was over.
func beganAt(f *flight.Flight, saved time.Time) (time.Time, season.Clock) {
	if own := f.Reading.Began; f.Segment <= len(own) && own[f.Segment-1] > 0 {
		return time.UnixMicro(int64(own[f.Segment-1])).UTC(), season.LogClock
	}
	return saved.Add(-time.Duration(f.Replay.End) * time.Microsecond).UTC(), season.FileClock
}

// seen returns what lies beside the logs of an outing.
func (r *seasonReader) seen(o folders.Outing) sightings {
	seen := sightings{Observations: belief.Observations{ClipError: sim.Micros(r.flags.clipError)}}
	var logs []string
	for _, log := range o.Logs {
		logs = append(logs, log.Path)
	}
	for _, look := range o.Seen {
		if err := seen.addGlance(look, logs); err != nil {
			r.leave(o.Folder, err)
		}
	}
	switch {
	case len(o.Lists) > 0:
		list, err := r.app.readClipList(o.Lists[0])
		if err != nil {
			r.leave(o.Lists[0], err)
			break
		}
		seen.card = list
	case len(o.Videos) > 0:
		seen.card = &cardSeen{files: card.New(o.Videos)}
	}
	return seen
}

// evidence returns what was seen tells of the thresholds.
func (r *seasonReader) evidence(flights []flight.Flight, seen sightings) season.Evidence {
	o := belief.Outing{ClipError: seen.ClipError}
	if seen.card != nil {
		card, _ := seen.card.addTo(belief.Observations{ClipError: seen.ClipError}, flights)
		o.Clips, o.ClipError = card.Clips, card.ClipError
	}
	for _, f := range flights {
		o.Flights = append(o.Flights, belief.Flight{Replay: f.Replay, Seen: f.Seen})
	}
	evidence, err := belief.Likelihood(o, season.GridOf(r.file.Rig))
	if err != nil { // judge has said why
		return nil
	}
	return evidence
}

// addTrials takes a list of bench trials.
func (r *seasonReader) addTrials(log folders.Log) {
	file, _, err := r.app.files.Open(log.Path)
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
		Evidence: season.TrialsEvidence(r.file.Rig, trials),
	})
}
