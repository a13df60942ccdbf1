package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/lists"
	"flicktally/sim/tell"
)

// seenFlags are the flags for what somebody saw of a flight.
type seenFlags struct {
	glances   []string
	clips     string
	clipError durationFlag
}

// seenHelp explains the flags in the help of a command.
const seenHelp = `
Where the rig gives min_press or long_press as a range, or an unknown start, the
likeliest course of events is shown, doubtful presses are marked, and the chance
of recording is told for every moment. What was seen of the camera narrows that
down: --seen tells of a look at its light, --clips is a list of the files on its
card (CSV: duration, and if you have it start and name; every file whole, with
parts that the camera split joined).`

func (f *seenFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.glances, "seen", nil, "what the camera's light showed: `TIME=recording`, standby or off; may be repeated")
	flags.StringVar(&f.clips, "clips", "", "`file` with the list of clips on the card, all of this flight")
	f.clipError = durationFlag(sim.Second)
	flags.Var(&f.clipError, "clip-error", "by how much a clip's duration, and the time between two starts, may be off")
}

// read returns what was seen, given that the logs are replayed.
func (f *seenFlags) read(logs []string) (belief.Observations, error) {
	seen := belief.Observations{ClipError: sim.Micros(f.clipError)}
	for _, text := range f.glances {
		g, err := belief.ParseGlance(text)
		if err != nil {
			return seen, wrongUsage(fmt.Errorf("--seen: %w", err))
		}
		seen.Seen = append(seen.Seen, g)
	}
	if f.clips != "" {
		file, _, err := openPlain(f.clips)
		if err != nil {
			return seen, unreadable(fmt.Errorf("cannot read the clips: %w", err))
		}
		defer file.Close()
		if seen.Clips, err = lists.ReadClips(file, f.clips); err != nil {
			return seen, unreadable(err)
		}
	}
	if !seen.None() && len(logs) > 1 {
		return seen, errOneFlight
	}
	return seen, nil
}

var errOneFlight = wrongUsage(errors.New("found several flights, want one for --seen and --clips"),
	"flicktally export cuts a span out of a log")

// judge tells what is known of the flights of one log, and what a pilot should
// know about them.
func judge(flights []flight, opts replayOptions) error {
	if !opts.seen.None() && len(flights) > 1 {
		return errOneFlight
	}
	for i := range flights {
		f := &flights[i]
		known, err := belief.Resolve(f.Replay, opts.seen)
		if err != nil {
			return wrongUsage(err)
		}
		f.Known, f.Replay, f.Clips = known, known.Replay, opts.seen.Clips
		f.Findings = append(tell.Findings(f.Replay, opts.limits), known.Findings...)
		slices.SortStableFunc(f.Findings, func(a, b tell.Finding) int { return cmp.Compare(a.At, b.At) })
	}
	return nil
}
