package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flicktally/plot"
	"flicktally/plot/figures"
	"flicktally/plot/report"
	"flicktally/sim"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/season"
	"flicktally/sim/season/folders"
	"flicktally/trainer"
	"flicktally/trainer/history"
)

type seasonFlags struct {
	pictureFlags
	logFlags
	clipError sim.Micros
	kind      string
	by        string
	merge     bool
	fresh     bool
	asJSON    bool
	data      string
	write     string
}

func newSeason(a *app) *cobra.Command {
	var flags seasonFlags
	cmd := &cobra.Command{
		Use:   "season [flags] FOLDER...",
		Short: "Combine many flights: the camera's window, your hand, what to do next",
		Long: `Season finds the flights in folders, at any depth: logs of every kind that replay
reads, with the files beside them. It reports what they show together.

A folder with logs is an outing. Beside the logs, season reads videos, also in
subfolders without logs (a card, or a copy of one); a list of clips (CSV with
duration; sunday-clips.csv belongs to sunday.csv alone); seen.txt, with glances at
the light such as 0:12.5=recording; and bench trials (CSV with hold and outcome). A
flight.toml may name others: rig, clips, seen, note. Flights are ordered by their
own clocks, or else by the times of their files.

The camera's thresholds are the same in all flights. If the rig gives them as
ranges, the observations of each outing narrow them, and --update writes them into
a rig file. A log without observations says nothing about the camera.

The chance of a day with few flicks is drawn towards that of the season, and a
change is reported only if it is more than chance. The report suggests up to three
things to do, ranked by the flicks that they save.

Results are cached beside the practice journal, so that a known log is not read
again; --fresh reads everything again. --merge combines parts of a season from
several machines, each written by --json.

-o writes a page (.html), a chart (.png, .svg, .pdf), or all flicks (.csv).`,
		Example: `  flicktally season flights
  flicktally season --rig heron.toml flights -o season.html
  flicktally season --rig heron.toml flights --update heron.toml
  flicktally season --json lake > lake.json
  flicktally season --merge --rig heron.toml lake.json sea.json`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.season(args, &flags) },
	}
	flags.add(cmd)
	return cmd
}

func (f *seasonFlags) add(cmd *cobra.Command) {
	f.logFlags.add(cmd)
	flags := cmd.Flags()
	addClipError(flags, &f.clipError)
	flags.StringVar(&f.by, "by", "", "sum up by flight, day, week or month (default: the finest of the last three that fits)")
	flags.StringVar(&f.kind, "kind", "days", "what to draw: days (the share of flicks that toggled), window (how the thresholds were narrowed)")
	flags.BoolVar(&f.merge, "merge", false, "combine what --json wrote for several seasons, instead of reading folders")
	flags.BoolVar(&f.fresh, "fresh", false, "read every log again, even if its results are cached")
	flags.BoolVar(&f.asJSON, "json", false, "print JSON")
	addDataFlag(flags, &f.data, "the `folder` of the practice journal, beside which results are cached")
	f.pictureFlags.add(flags, "write a page, a chart or all flicks into this `file` (.html, .png, .svg, .pdf, .csv)")
	addWriteFlag(flags, &f.write, "write the learned thresholds to this rig `file`; its comments are kept")
}

// season puts the flights together and reports on them.
func (a *app) season(args []string, f *seasonFlags) error {
	if err := a.checkSeason(f); err != nil {
		return err
	}
	file, err := a.loadRigFor(&f.logFlags)
	if err != nil {
		return err
	}
	s, err := a.gatherSeason(file, args, f)
	if err != nil {
		return err
	}
	s.By = f.by
	return a.tellSeason(s, f)
}

func (a *app) checkSeason(f *seasonFlags) error {
	if f.by != "" && !slices.Contains(season.Bys, f.by) {
		return problem.WrongUsage(fmt.Errorf("found --by %q, want %s", f.by, sim.OneOf(season.Bys)))
	}
	if !figures.HasSeason(f.kind) {
		return problem.WrongUsage(fmt.Errorf("found --kind %q, want days or window", f.kind))
	}
	if f.out == "" {
		return nil
	}
	if _, err := f.writer(); err != nil {
		return problem.WrongUsage(err)
	}
	return a.files.MayWrite(f.out, f.force)
}

// gatherSeason finds the flights, or their cached results.
func (a *app) gatherSeason(file rigfile.File, args []string, f *seasonFlags) (*season.Season, error) {
	if f.merge {
		outings, leftOut, err := folders.Merge(a.files, file.Rig, args...)
		if err != nil {
			return nil, err
		}
		return season.Of(file.Rig, outings, leftOut), nil
	}
	reading := folders.Reading{
		Logs: a.logs, How: a.how(&f.logFlags), File: file, ClipError: f.clipError, KeptIn: keptFolder(f.data), Fresh: f.fresh, Version: version(),
		Rig: func(path string) (sim.Rig, error) {
			file, err := a.loadRig(path)
			return file.Rig, err
		},
	}
	outings, leftOut, err := reading.Read(args...)
	if err != nil {
		for _, l := range leftOut {
			a.talk.note("left out %s: %s", l.File, l.Why)
		}
		return nil, err
	}
	s := season.Of(file.Rig, outings, leftOut)
	return s, a.addPractice(s, f.data)
}

// tellSeason prints the season and writes the requested files.
func (a *app) tellSeason(s *season.Season, f *seasonFlags) error {
	a.talk.standAside(f.out)
	if f.asJSON {
		if err := s.WriteJSON(a.talk.out); err != nil {
			return err
		}
	} else {
		a.talk.Season(s)
	}
	if f.out != "" {
		write, err := f.writer()
		if err != nil {
			return err
		}
		if err := a.files.Write(f.out, f.force, func(w io.Writer) error { return write(w, s) }); err != nil {
			return err
		}
	}
	if f.write != "" {
		return a.writeLearned(s, f.write)
	}
	return nil
}

// writer returns the function that writes a season in the form of the file
// name; on standard output, "-", it is the page.
func (f *seasonFlags) writer() (func(io.Writer, *season.Season) error, error) {
	switch ext := strings.ToLower(filepath.Ext(f.out)); {
	case ext == ".html", f.out == "-":
		return writeSeasonPage, nil
	case ext == ".csv":
		return func(w io.Writer, s *season.Season) error { return s.WriteFlicks(w) }, nil
	}
	format, err := plot.FormatOf(f.out)
	if err != nil {
		return nil, fmt.Errorf("found -o %s, want a name that ends in .html, .png, .svg, .pdf or .csv", f.out)
	}
	return func(w io.Writer, s *season.Season) error {
		chart, err := figures.Season(f.kind, s, plot.Look{Dark: f.dark})
		if err != nil {
			return problem.WrongUsage(err)
		}
		return plot.Write(w, chart, format)
	}, nil
}

func writeSeasonPage(w io.Writer, s *season.Season) error {
	pictures, err := figures.SeasonPictures(s)
	if err != nil {
		return err
	}
	return report.WriteSeason(w, s, pictures)
}

// addPractice adds the practice with the rig from the journal.
func (a *app) addPractice(s *season.Season, data string) error {
	journal, err := a.journalIn(data)
	if err != nil {
		return nil // there is no folder for a journal
	}
	h, err := journal.Read()
	if err != nil {
		return err
	}
	hash := history.RigHash(s.Rig)
	var practised []trainer.Practised
	for _, profile := range h.Profiles() {
		if profile.RigHash == hash {
			practised = append(practised, profile.Practised(time.Local)...)
		}
	}
	for _, p := range trainer.Progress(practised, trainer.Day) {
		if p.Toggled.Trials > 0 {
			s.Practice = append(s.Practice, season.Period{Name: p.From.Format(time.DateOnly), Toggled: p.Toggled})
		}
	}
	return nil
}

// writeLearned writes the learned thresholds into a rig file.
func (a *app) writeLearned(s *season.Season, path string) error {
	if !s.Camera.Learned() {
		return fmt.Errorf("nothing written to %s: no flight narrows the camera's thresholds", path)
	}
	return a.writeThresholds(s.Learned(), path)
}

// keptFolder returns the folder for results of seasons, beside the journal.
func keptFolder(data string) string {
	if data == "" {
		return ""
	}
	return filepath.Join(data, "season")
}
