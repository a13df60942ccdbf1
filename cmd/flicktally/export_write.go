package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/source"
)

// export writes the results of a replay.
func (a *app) export(paths []string, f *exportFlags) error {
	flights, err := a.replayLogs(paths, &f.flightFlags, logs.Options{})
	if err != nil {
		return err
	}
	if f.segment != 0 {
		if err := a.oneSegment(f.segment, len(flights), "written"); err != nil {
			return err
		}
		flights = flights[f.segment-1 : f.segment]
	}
	switch {
	case f.clip != "":
		return a.exportClips(flights, f)
	case f.kind == "signals":
		return a.exportSignals(flights, f)
	}
	return a.files.Write(f.out, f.force, func(w io.Writer) error { return exportAll(w, flights, f) })
}

// exportAll writes a result that covers all flights.
func exportAll(w io.Writer, flights []flight.Flight, f *exportFlags) error {
	table := export.CSV
	if f.format == "jsonl" {
		table = export.JSONLines
	}
	switch {
	case f.kind == "edits":
		rate, err := export.ParseRate(f.rate)
		if err != nil {
			return problem.WrongUsage(err)
		}
		return export.Edits(w, flights, rate)
	case f.kind == "presses":
		return export.Presses(w, flights, table)
	case f.kind == "chapters":
		return export.Chapters(w, flights)
	case f.format == "vtt":
		return export.Cues(w, flights)
	default:
		return export.Takes(w, flights, table)
	}
}

// exportSignals writes the signals of each flight, into separate files if there
// are several.
func (a *app) exportSignals(flights []flight.Flight, f *exportFlags) error {
	if len(flights) == 1 {
		return a.files.Write(f.out, f.force, func(w io.Writer) error { return export.Waveform(w, &flights[0]) })
	}
	if f.out == "-" {
		return problem.WrongUsage(fmt.Errorf("found %d flights for standard output, want one flight, or the name of a file", len(flights)), "--segment takes one of a log")
	}
	ending := filepath.Ext(f.out)
	var outputs []files.Output
	for i := range flights {
		path := fmt.Sprintf("%s-%d%s", strings.TrimSuffix(f.out, ending), i+1, ending)
		outputs = append(outputs, files.Output{Path: path, Write: func(w io.Writer) error { return export.Waveform(w, &flights[i]) }})
	}
	return a.files.WriteAll(outputs, f.force)
}

// exportClips writes the cues of each clip, into separate files if there are
// several.
func (a *app) exportClips(flights []flight.Flight, f *exportFlags) error {
	var cues [][]export.CueFile
	takes := 0
	for i := range flights {
		cues = append(cues, export.CueFiles(&flights[i]))
		takes += len(flights[i].Replay.Takes)
	}
	if takes == 0 {
		return errors.New("found no take in the log, want at least one for --clip")
	}
	if f.clip == "all" {
		var outputs []files.Output
		for i, path := range export.CuePaths(cues, f.out) {
			outputs = append(outputs, files.Output{Path: path, Write: slices.Concat(cues...)[i].Write})
		}
		return a.files.WriteAll(outputs, f.force)
	}
	if len(flights) > 1 {
		return problem.WrongUsage(fmt.Errorf("found --clip %q for %d flights, want all, or one flight", f.clip, len(flights)), "--segment takes one of a log")
	}
	n, err := strconv.Atoi(f.clip)
	if err != nil || n < 1 || n > takes {
		return problem.WrongUsage(fmt.Errorf("found --clip %q, want a number from 1 to %d, or all", f.clip, takes))
	}
	for _, c := range cues[0] {
		if c.Take == n {
			return a.files.Write(f.out, f.force, c.Write)
		}
	}
	panic("internal error: a take without a file of cues")
}

// exportCut writes a part of a log as a record, which says itself how to read
// it, whatever the rig.
func (a *app) exportCut(log string, f *exportFlags) error {
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return err
	}
	how := a.how(&f.logFlags)
	src, err := a.logs.Open(log, file.Rig, how, sim.Thinning{})
	if err != nil {
		return err
	}
	defer src.Close()
	f.segment = max(1, f.segment)
	return a.files.Write(f.out, f.force, func(w io.Writer) error {
		rig := src.Rig(file.Rig)
		record := source.NewRecorder(w, src.Tap(), rig, src.LostAfter())
		segments, err := a.cutLog(record, src, how, f)
		if err != nil {
			return err
		}
		return a.oneSegment(f.segment, segments, "written")
	})
}

// cutLog reads one segment of a log and writes the wanted part. It returns how
// many segments the log has.
func (a *app) cutLog(record *source.Recorder, src flight.Source, how logs.How, f *exportFlags) (segments int, err error) {
	cut := export.NewCut(sim.Span{From: f.from, To: f.to}, func(s sim.Sample) error {
		return record.Write(sim.Block{Segment: 1, Samples: []sim.Sample{s}})
	})
	for {
		block, err := src.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return 0, how.Unreadable(err)
		}
		segments = block.Segment
		if block.Segment != f.segment {
			continue
		}
		for _, s := range block.Samples {
			if err := cut.Feed(s); err != nil {
				return 0, err
			}
		}
	}
	return segments, cut.Finish()
}
