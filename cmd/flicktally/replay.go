package main

import (
	"slices"

	"github.com/spf13/cobra"

	"flicktally/sim/export"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/tell"
)

type replayFlags struct {
	flightFlags
	asJSON bool
	full   bool
	check  bool
	limits tell.Limits
}

func newReplay(a *app) *cobra.Command {
	var flags replayFlags
	cmd := &cobra.Command{
		Use:   "replay LOG...",
		Short: "Show from the log of a flight when recording toggled, and what was lost",
		Long: `Replay runs the log of a flight through the rig's chain: switch, one-shot, line,
camera. It prints the outcome of the flicks, the takes, the armed time that was not
recorded, and findings with what to do. More than five flicks or takes are summed
up; --full lists each, with its hold.

A LOG of "-" is standard input. With --check the exit code is 4 if a flick failed:
it did not toggle, or its toggle is doubtful.

Several logs form an outing: they share the camera and the clips on its card, in
the order given, and the totals come last. A glance at the light then names its
log: --seen monday.csv@0:12.5=recording.
` + seenHelp,
		Example: `  flicktally replay flight.csv
  flicktally replay --rig heron.toml --json flight.csv.gz
  flicktally replay --channel aux2 --time "time (ms)" flight.csv
  flicktally replay --channel "#7" --scale 0.625 --offset 880 counts.csv
  flicktally replay --seen 0:12.5=recording --clips card.csv flight.csv
  flicktally replay --clips DCIM monday.csv tuesday.csv`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, paths []string) error { return a.replay(paths, &flags) },
	}
	flags.add(cmd)
	return cmd
}

func (f *replayFlags) add(cmd *cobra.Command) {
	f.flightFlags.add(cmd)
	flags := cmd.Flags()
	f.limits = tell.DefaultLimits()
	addDuration(flags, &f.limits.ShortTake, "short-take", "a take shorter than this is a finding; 0s turns this off")
	flags.BoolVar(&f.asJSON, "json", false, "print JSON (an array if there are several logs or segments)")
	flags.BoolVar(&f.full, "full", false, "list every flick and take, and say how every byte was read")
	flags.BoolVar(&f.check, "check", false, "end with code 4 if a flick failed")
}

// replay replays the logs and prints the results.
func (a *app) replay(paths []string, f *replayFlags) error {
	flights, err := a.replayLogs(paths, &f.flightFlags, logs.Options{Limits: f.limits})
	if err != nil {
		return err
	}
	if f.asJSON {
		a.talk.noteOddities(flights)
		err = export.Replays(a.talk.out, flights)
	} else {
		a.talk.Flights(flights, f.full)
	}
	if err == nil && f.check && slices.ContainsFunc(flights, func(f flight.Flight) bool { return f.Replay.FlicksFailed() }) {
		return errFlickFailed
	}
	return err
}
