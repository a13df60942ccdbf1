package main

import (
	"github.com/spf13/cobra"

	"flicktally/sim/export"
	"flicktally/sim/rigcheck"
)

func newRigCheck(a *app) *cobra.Command {
	var (
		rig           string
		asJSON, check bool
		within        = rigcheck.DefaultWithin
	)
	cmd := &cobra.Command{
		Use:   "check [FILE]",
		Short: "Find what will go wrong with a rig, and what to change",
		Long: `Check sends test inputs through the rig's own chain, radio link included: a switch
at rest, flicks, a lost signal, a power-on. It reports what goes wrong, why it
matters and what to change; it tests every change in the same way.

A fault shows in ordinary use. A risk needs an accident, such as a lost signal or a
slip of the thumb. With --check the exit code is 4 if there is a fault.`,
		Example: `  flicktally rig check heron.toml
  flicktally rig check --within 1s heron.toml
  flicktally rig check --check --json heron.toml`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			file, err := a.loadNamedRig(rig, args)
			if err != nil {
				return err
			}
			report := rigcheck.Check(file.Rig, within)
			if asJSON {
				err = export.RigCheck(a.talk.out, file.Rig, report)
			} else {
				a.talk.Check(file.Rig, report)
			}
			if err == nil && check && report.Faulty() {
				return errRigFaulty
			}
			return err
		},
	}
	cmd.Flags().StringVar(&rig, "rig", "", rigUsage)
	addDuration(cmd.Flags(), &within, "within", "how soon after a flick the next one must be able to stop its take, or to start one")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	cmd.Flags().BoolVar(&check, "check", false, "end with code 4 if the rig has a fault")
	return cmd
}
