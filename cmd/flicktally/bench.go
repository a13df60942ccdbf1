package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/benchcard"
	"flicktally/sim/export"
	"flicktally/sim/problem"
	"flicktally/sim/rigcheck"
)

// cardEndings maps file extensions to the formats of a card.
var cardEndings = map[string]benchcard.Format{
	".txt": benchcard.Text, ".md": benchcard.Markdown, ".html": benchcard.HTML, ".htm": benchcard.HTML,
}

func newBench(a *app) *cobra.Command {
	var (
		rig, format string
		asJSON      bool
		to          outputFlags
	)
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "Print a checklist for the bench: what to verify, in which order",
		Long: `Bench prints a card with boxes to tick and lines to write on: what to verify before
wiring, at first power, at the switch, with one flick, in hold trials for
calibrate, in power cycles and signal losses, and in a dry run. The numbers of the
rig are filled in, and the findings of rig check are listed.

The card is text, Markdown, or an HTML page to print, depending on the file name.

Local rules, the makers' instructions and licensed practice come first.`,
		Example: `  flicktally bench --rig heron.toml
  flicktally bench --rig heron.toml -o heron-card.html`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if asJSON {
				format = string(benchcard.Text) // whatever the file name
			}
			as, err := cardFormat(format, to.out)
			if err != nil {
				return err
			}
			file, err := a.loadRig(rig)
			if err != nil {
				return err
			}
			card := benchcard.New(file.Rig, rigcheck.Check(file.Rig, rigcheck.DefaultWithin), file.Measured)
			write := func(w io.Writer) error { return card.Write(w, as) }
			if asJSON {
				write = func(w io.Writer) error { return export.Bench(w, file.Rig, card) }
			}
			if to.out == "" {
				return write(a.talk.out)
			}
			return a.files.Write(to.out, to.force, write)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&rig, "rig", "", rigUsage)
	flags.StringVar(&format, "format", "", "text, markdown, html (default: by the file name, else text)")
	flags.BoolVar(&asJSON, "json", false, "print JSON")
	to.add(flags, "write into this `file`: .txt, .md, .html; - is standard output")
	return cmd
}

// cardFormat returns the requested format, or that of the file name.
func cardFormat(asked, file string) (benchcard.Format, error) {
	switch format := benchcard.Format(asked); {
	case asked != "" && slices.Contains(benchcard.Formats, format):
		return format, nil
	case asked != "":
		return "", problem.WrongUsage(fmt.Errorf("found --format %q, want %s", asked, sim.OneOf(benchcard.Formats)))
	case file == "" || file == "-":
		return benchcard.Text, nil
	}
	format, known := cardEndings[strings.ToLower(filepath.Ext(file))]
	if !known {
		return "", problem.WrongUsage(fmt.Errorf("found the file %q, want a name that ends in .txt, .md or .html", file),
			"--format writes a card under any name")
	}
	return format, nil
}
