package main

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"flicktally/sim/excerpt"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/season/invented"
	"flicktally/sim/source"
	"flicktally/sim/tell"
)

// The demo: the quad Heron films a sailing regatta. All of it is invented: the
// rig, the log of the flight, the rig before its camera was measured, the clips
// on the card, and trials at the bench.
//
//go:embed demo
var demoFiles embed.FS

const demoStory = `The quad Heron films a sailing regatta on a lake, with a camera that has no
screen. The pilot wants three shots: the start line, the mark rounding, the
finish. This is the invented log of that flight, replayed.

`

const demoMoral = `
What happened, in the order of the flight:
  0:12  The start line: two good flicks, one take.
  0:44  The flick for the mark came 0.6 s after the stop, while the camera was
        still busy: no take began. From now on the pilot's count is wrong.
  1:07  The flick meant to stop a take starts one instead.
  1:13  A thumb knocks the switch in flight, and that take ends.
  1:31  A flick of about 50 ms: too short for this camera.
  2:05  The finish: a flick of 2.3 s, too long. The camera switches off.
  2:22  A flick at a camera that is off.

Try next, with the demo's files:
  flicktally demo --write heron-demo && cd heron-demo
  flicktally rig check heron.toml                       what will go wrong with this rig
  flicktally bench --rig heron.toml -o card.html        what to verify at the bench
  flicktally calibrate trials.csv                       the press window, from bench trials
  flicktally chart --rig heron.toml regatta.csv -o regatta.png
  flicktally report --rig heron.toml regatta.csv -o regatta.html
  flicktally view --rig heron.toml regatta.csv          the same in the terminal
  flicktally replay --rig unsure.toml --seen 0:30=recording --clips card.csv regatta.csv
  flicktally odds --rig unsure.toml --spread 12%        which hold to aim for
  flicktally compare --rig heron.toml --with oneshot.trigger=rising regatta.csv
  flicktally season --rig unsure.toml season            what eight flights show together
  flicktally practise --rig heron.toml                  train the flick
  flicktally live --rig heron.toml regatta.csv          the tally, as if live
`

func newDemo(a *app) *cobra.Command {
	var folder string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Replay an invented flight and explain what it shows",
		Example: `  flicktally demo
  flicktally demo --write heron-demo`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if folder != "" {
				return a.writeDemo(folder)
			}
			flights, err := replayDemo()
			if err != nil {
				return err
			}
			fmt.Fprint(a.talk.out, demoStory)
			a.talk.Flights(flights, false)
			fmt.Fprint(a.talk.out, demoMoral)
			return nil
		},
	}
	cmd.Flags().StringVar(&folder, "write", "", "write the demo's files into this `folder`; existing files are not overwritten")
	return cmd
}

func demoFile(name string) []byte {
	data, err := demoFiles.ReadFile("demo/" + name)
	if err != nil {
		panic("internal error: the demo lacks " + name)
	}
	return data
}

func replayDemo() ([]flight.Flight, error) {
	file, err := rigfile.Parse(demoFile("heron.toml"), "heron.toml")
	if err != nil {
		return nil, err
	}
	src, err := source.Open(bytes.NewReader(demoFile("regatta.csv")), "regatta.csv", source.Options{Spec: file.Rig.Log})
	if err != nil {
		return nil, err
	}
	flights, err := flight.Read(src, "regatta.csv", file.Rig, flight.Options{})
	if err != nil {
		return nil, err
	}
	return flights, logs.Judge(flights, logs.Options{Limits: tell.DefaultLimits()})
}

// writeDemo writes the files into a folder. It overwrites nothing.
func (a *app) writeDemo(folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	content, err := demoFiles.ReadDir("demo")
	if err != nil {
		return err
	}
	var outputs []files.Output
	for _, f := range content {
		outputs = append(outputs, output(filepath.Join(folder, f.Name()), demoFile(f.Name())))
	}
	heron, err := rigfile.Parse(demoFile("heron.toml"), "heron.toml") // unsure.toml does not know the window
	if err != nil {
		return err
	}
	var places []string
	for _, f := range invented.Season(heron.Rig) {
		place := filepath.Join(folder, "season", f.Name)
		if err := os.MkdirAll(place, 0o777); err != nil {
			return err
		}
		places = append(places, place)
		outputs = append(outputs, flightOutputs(place, f)...)
	}
	err = a.files.WriteAll(outputs, false)
	if err != nil {
		for _, place := range append(places, filepath.Join(folder, "season")) {
			_ = os.Remove(place) // fails unless empty
		}
	}
	if problem.IsMarked(err) {
		err = errors.Unwrap(err) // its hint is about a flag that demo does not have
	}
	if err != nil {
		return fmt.Errorf("cannot write the demo: %w", err)
	}
	for _, o := range outputs {
		fmt.Fprintln(a.talk.out, excerpt.Printable(o.Path))
	}
	return nil
}

// flightOutputs are the files of a flight of the season.
func flightOutputs(place string, f invented.Flight) []files.Output {
	return []files.Output{output(filepath.Join(place, "regatta.csv"), f.Log), output(filepath.Join(place, "card.csv"), f.Card)}
}

// output is a file with a content.
func output(path string, content []byte) files.Output {
	return files.Output{Path: path, Write: func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	}}
}
