package main

import (
	"cmp"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/plot/report"
	"flicktally/sim/export"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
)

type reportFlags struct {
	outputFlags
	flightFlags
	asJSON bool
}

func newReport(a *app) *cobra.Command {
	var flags reportFlags
	cmd := &cobra.Command{
		Use:   "report LOG... -o FILE.html",
		Short: "Write a flight as a page to read, print and share",
		Long: `Report replays a log and writes one page about it: the results in a sentence, a
timing chart, findings with what to do, takes, presses, the rig and what the model
assumes. The page is one self-contained file and works without scripts; with
scripts, the chart zooms, moves and shows what is under the pointer.

Several logs give one page each, and an index: -o season.html writes the index
season.html and the pages season-1.html, season-2.html and so on.
` + seenHelp,
		Example: `  flicktally report flight.csv -o flight.html
  flicktally report --rig heron.toml monday.csv tuesday.csv -o season.html`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, paths []string) error {
			if err := flags.check(); err != nil {
				return problem.WrongUsage(err)
			}
			file, err := a.loadRigFor(&flags.logFlags)
			if err != nil {
				return err
			}
			flights, err := a.replaySeen(file.Rig, paths, &flags.flightFlags, logs.Options{Options: flight.Options{TraceBins: report.TraceBins}})
			if err != nil {
				return err
			}
			pages := report.Pages(flights, file.Given, filepath.Base(cmp.Or(flags.rig, rigInFolder)))
			if err := a.writeReport(pages, &flags); err != nil || !flags.asJSON {
				return err
			}
			return export.Replays(a.talk.out, flights)
		},
	}
	flags.flightFlags.add(cmd)
	flags.outputFlags.add(cmd.Flags(), "the `file` to write: its name ends in .html")
	cmd.Flags().BoolVar(&flags.asJSON, "json", false, "also print what replay --json prints")
	return cmd
}

func (f *reportFlags) check() error {
	switch ext := filepath.Ext(f.out); {
	case f.asJSON && f.out == "-":
		return errors.New("found --json with -o -, want a file for the page")
	case f.out == "":
		return errors.New("found no file to write, want -o FILE.html")
	case f.out != "-" && !strings.EqualFold(ext, ".html"):
		return fmt.Errorf("found -o %s, want a name that ends in .html", f.out)
	}
	return nil
}

// writeReport writes one page, or several and then their index, so that an
// index never has dead links.
func (a *app) writeReport(pages []report.Page, f *reportFlags) error {
	if len(pages) == 1 {
		return a.files.Write(f.out, f.force, pages[0].Write)
	}
	if f.out == "-" {
		return problem.WrongUsage(fmt.Errorf("found -o - for %d logs, want the name of a file, or one log", len(pages)))
	}
	var index report.Index
	var outputs []files.Output
	stem := strings.TrimSuffix(f.out, filepath.Ext(f.out))
	for i, page := range pages {
		path := fmt.Sprintf("%s-%d%s", stem, i+1, filepath.Ext(f.out))
		outputs = append(outputs, files.Output{Path: path, Write: page.Write})
		index.Entries = append(index.Entries, report.Entry{Page: page, Href: (&url.URL{Path: filepath.Base(path)}).String()})
	}
	return a.files.WriteAll(append(outputs, files.Output{Path: f.out, Write: index.Write}), f.force)
}
