package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
)

// seenFlags are the flags for what somebody saw of a flight.
type seenFlags struct {
	glances []string
	clips   clipFlags
}

// seenHelp explains the flags in the help of a command.
const seenHelp = `
Where the rig gives min_press or long_press as a range, or an unknown start, the
likeliest course of events is shown, doubtful presses are marked, and the chance
of recording is told for every moment. What was seen of the camera narrows that
down: --seen tells of a look at its light, --clips what is on its card: the card's
folder, or single video files (MP4, MOV; only their headers are read, and nothing
is written), or a list (CSV: duration, and if you have it start and name). Parts
that the camera split are joined; in a list every file is whole.`

func (f *seenFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringArrayVar(&f.glances, "seen", nil, "what the camera's light showed: `TIME=recording`, standby or off; may be repeated")
	f.clips.add(flags)
}

// sightings is what somebody saw of a flight.
type sightings struct {
	belief.Observations
	card *cardSeen // nil where it was not read
}

// none reports whether nothing was seen.
func (s sightings) none() bool { return s.None() && s.card == nil }

// read returns what was seen, given that the logs are replayed.
func (f *seenFlags) read(logs []string) (sightings, error) {
	seen := sightings{Observations: belief.Observations{ClipError: sim.Micros(f.clips.clipError)}}
	for _, text := range f.glances {
		g, err := belief.ParseGlance(text)
		if err != nil {
			return seen, wrongUsage(fmt.Errorf("--seen: %w", err))
		}
		seen.Seen = append(seen.Seen, g)
	}
	var err error
	if seen.card, err = f.clips.read(); err != nil {
		return seen, err
	}
	if !seen.none() && len(logs) > 1 {
		return seen, errOneFlight
	}
	return seen, nil
}

var errOneFlight = wrongUsage(errors.New("found several flights, want one for --seen and --clips"),
	"flicktally export cuts a span out of a log")

// judge works out what is known of the flights of one log.
func judge(flights []flight.Flight, opts replayOptions) error {
	if !opts.seen.none() && len(flights) > 1 {
		return errOneFlight
	}
	seen, lines := opts.seen.card.addTo(opts.seen.Observations, flights)
	if err := flight.Judge(flights, opts.limits, seen); err != nil {
		return wrongUsage(err)
	}
	for i := range flights {
		flights[i].Card = lines
	}
	return nil
}
