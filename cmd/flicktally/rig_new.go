package main

import (
	"io"

	"github.com/spf13/cobra"

	"flicktally/sim/rigfile"
	"flicktally/sim/rigfile/starter"
)

func newRigNew(a *app) *cobra.Command {
	var (
		like string
		ask  bool
		to   outputFlags
	)
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Write a first rig file, with comments",
		Long: `New prints a rig file with every key, its default and a comment. --like starts
from a common rig instead. --ask asks eight questions about the switch, the
wiring, the radio link and your bench measurements. Enter accepts the value in
brackets.`,
		Example: `  flicktally rig new > rig.toml
  flicktally rig new --ask -o rig.toml
  flicktally rig new --like inverting > rig.toml`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			text := rigfile.Default()
			var err error
			if like != "" {
				if text, err = starter.Like(like); err != nil {
					return err
				}
			}
			if ask {
				if text, err = starter.Ask(text, a.in, a.talk.err, a.talk.note); err != nil {
					return err
				}
			}
			write := func(w io.Writer) error {
				_, err := w.Write(text)
				return err
			}
			if to.out == "" || to.out == "-" {
				return write(a.talk.out)
			}
			return a.files.Write(to.out, to.force, write)
		},
	}
	cmd.Flags().BoolVar(&ask, "ask", false, "ask eight questions")
	cmd.Flags().StringVar(&like, "like", "", "start from a common `rig`: "+starter.Names())
	to.add(cmd.Flags(), "the `file` to write; - is standard output")
	return cmd
}
