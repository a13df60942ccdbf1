package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/rigfile"
)

// rigInFolder is the rig file that is used, where it is there, if none is named.
const rigInFolder = "rig.toml"

// loadRig reads the named rig file; "" means the one in the working folder, or
// else the defaults. It says which it took.
func (a *app) loadRig(path string) (rigfile.File, error) {
	named := path != ""
	if !named {
		path = rigInFolder
	}
	data, err := readRigFile(path)
	if !named && errors.Is(err, fs.ErrNotExist) {
		return rigfile.File{Rig: sim.DefaultRig()}, nil
	}
	if err != nil {
		return rigfile.File{}, err
	}
	if !named {
		a.talk.note("rig: %s in this folder (another with --rig FILE)", rigInFolder)
	}
	file, err := rigfile.Parse(data, path)
	if err != nil {
		return rigfile.File{}, wrongUsage(err)
	}
	return file, nil
}

const rigHelp = `A rig file describes everything between the switch and the camera: the press
ranges, the one-shot, the line, the camera's press window. It is TOML, and every
key is optional; unknown ones are errors, with their place. A command uses the
file that --rig names, else rig.toml in this folder, else the defaults. The
camera's default values are examples: measure yours.

This is the file that "rig new" prints, with every key and its default:`

func newRig(a *app) *cobra.Command {
	rig := &cobra.Command{
		Use:   "rig",
		Short: "Print, show or check a rig file; what a rig file is",
		Long:  rigHelp + "\n\n" + string(rigfile.Default()),
		Args:  knownCommand,
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	rig.AddCommand(newRigNew(a), newRigShow(a), newRigCheck(a))
	return rig
}

func newRigNew(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "new",
		Short:   "Print a commented rig file to begin with",
		Example: "  flicktally rig new > rig.toml",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := a.talk.out.Write(rigfile.Default())
			return err
		},
	}
}

func newRigShow(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "show [FILE]",
		Short: "Print the rig in force, with its defaults",
		Example: `  flicktally rig show
  flicktally rig show heron.toml`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			file, err := a.loadRig(optional(args))
			if err != nil {
				return err
			}
			_, err = a.talk.out.Write(rigfile.Format(file))
			return err
		},
	}
}

// maxRigFile bounds what is read of a rig file.
const maxRigFile = 1 << 20

// readRigFile reads the text of a rig file.
func readRigFile(path string) ([]byte, error) {
	data, err := readSmall(path)
	if err != nil {
		return nil, wrongUsage(fmt.Errorf("cannot read the rig: %w", err), "a rig file to begin with: flicktally rig new > rig.toml")
	}
	return data, nil
}

// readSmall reads a file whole, and refuses one that is too large for a rig.
func readSmall(path string) ([]byte, error) {
	f, _, err := openPlain(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxRigFile+1))
	if err != nil {
		return nil, err
	}
	if len(data) > maxRigFile {
		return nil, fmt.Errorf("%s is larger than %d KiB, too large for this kind of file", path, maxRigFile>>10)
	}
	return data, nil
}
