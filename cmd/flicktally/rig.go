package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"flicktally/sim"
	"flicktally/sim/files"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

// rigInFolder is the rig file used if it exists and none is named.
const rigInFolder = "rig.toml"

// rigUsage explains --rig.
const rigUsage = "the rig `file`, or its name in your configuration folder; - is standard input (default: rig.toml in this folder, else in that one)"

// loadRig reads the named rig file; "" means the one in the working folder,
// else in the configuration folder, else the defaults. It notes which one it
// uses.
func (a *app) loadRig(name string) (rigfile.File, error) {
	path := name
	if name != "-" {
		path = findRig(name)
		a.noRig = path == ""
	}
	switch {
	case path == "" && name == "":
		return rigfile.File{Rig: sim.DefaultRig()}, nil
	case path == "":
		path = name // the error will say that it does not exist
	case name == "" && path == rigInFolder:
		a.talk.note("rig: %s in this folder (another with --rig FILE)", rigInFolder)
	case path != name:
		a.talk.note("rig: %s", path)
	}
	file, _, err := a.readRig(path)
	return file, err
}

// findRig returns the path of a rig file, in the working folder or by its name
// in the configuration folder; "" if there is none.
func findRig(name string) string {
	own := cmp.Or(name, rigInFolder)
	places := []string{own}
	if folder, err := os.UserConfigDir(); err == nil && filepath.Base(own) == own {
		places = append(places, filepath.Join(folder, "flicktally", own), filepath.Join(folder, "flicktally", own+".toml"))
	}
	for _, path := range places {
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			return path
		}
	}
	return ""
}

const rigHelp = `A rig file describes everything between the switch and the camera: the press
ranges, the one-shot, the line, the camera's press window. It is TOML. Every key is
optional, and an unknown key is an error. A command uses the file that --rig names,
else rig.toml in this folder, else rig.toml in your configuration folder (often
~/.config/flicktally), else the defaults. The camera's default values are examples:
measure yours.

This is the file that "rig new" prints, with every key and its default:`

func newRig(a *app) *cobra.Command {
	rig := &cobra.Command{
		Use:   "rig",
		Short: "Write, show or check a rig file; what each key means",
		Long:  rigHelp + "\n\n" + string(rigfile.Default()),
		Args:  knownCommand,
		RunE:  func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	rig.AddCommand(newRigNew(a), newRigShow(a), newRigCheck(a))
	return rig
}

func newRigShow(a *app) *cobra.Command {
	var rig string
	cmd := &cobra.Command{
		Use:   "show [FILE]",
		Short: "Print the rig that commands use, with its defaults",
		Example: `  flicktally rig show
  flicktally rig show heron.toml`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			file, err := a.loadNamedRig(rig, args)
			if err != nil {
				return err
			}
			_, err = a.talk.out.Write(rigfile.Format(file))
			return err
		},
	}
	cmd.Flags().StringVar(&rig, "rig", "", rigUsage)
	return cmd
}

// loadNamedRig reads the rig named by a flag or the argument.
func (a *app) loadNamedRig(flag string, args []string) (rigfile.File, error) {
	if flag != "" && len(args) > 0 {
		return rigfile.File{}, problem.WrongUsage(fmt.Errorf("found %s and --rig %s, want only one of them", args[0], flag))
	}
	return a.loadRig(cmp.Or(flag, optional(args)))
}

// maxRigFile limits how many bytes of a rig file are read; rigfile refuses files
// that are much smaller.
const maxRigFile = 1 << 20

// readRig reads a rig file, and returns its text as well.
func (a *app) readRig(path string) (rigfile.File, []byte, error) {
	text, err := a.readWhole(path)
	if err != nil {
		return rigfile.File{}, nil, problem.WrongUsage(fmt.Errorf("cannot read the rig: %w", err), "to make one: flicktally rig new > rig.toml")
	}
	file, err := rigfile.Parse(text, files.NameOf(path))
	if err != nil {
		return rigfile.File{}, nil, problem.WrongUsage(err)
	}
	return file, text, nil
}

func (a *app) readWhole(path string) ([]byte, error) {
	file, _, err := a.files.Await(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, maxRigFile))
}
