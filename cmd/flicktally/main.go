// Command flicktally replays, trains and checks the switch that records on a
// screenless camera. See README.md for a tour.
//
// Each command has its own file, which turns flags into options, calls the
// packages and prints. Some files are shared: talk.go has all communication with
// the user, rig.go finds the rig, flags.go and logs.go have flags that several
// commands take. To add a command, write newXxx(*app) *cobra.Command and list it
// in commands.
package main

import (
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"flicktally/cmd/manual"
	"flicktally/sim/files"
	"flicktally/sim/logs"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }

// run runs the program with its streams as arguments and returns the exit code.
func run(args []string, in, out, err *os.File) int {
	talk := newTalk(out, err)
	a := &app{in: in, talk: talk, files: files.NewDesk(in, talk.out, talk.note)}
	a.logs = &logs.Reader{Desk: a.files}
	if talk.errTTY {
		a.logs.Progress = talk.progress
	}
	root := newRoot(a, args)
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(a.talk.out) // so that help, too, reports write errors
	root.SetErr(err)
	return a.talk.finish(root.Execute())
}

// app is passed to every command.
type app struct {
	in    *os.File
	talk  *talk
	files *files.Desk
	logs  *logs.Reader
	noRig bool // no rig file was named or found
}

func newRoot(a *app, args []string) *cobra.Command {
	root := &cobra.Command{
		Use:   "flicktally",
		Short: "Replay, train and check the switch that records on a screenless camera",
		Long: `flicktally works out what a screenless camera on a quad has recorded, from the
switch that presses its record button. It checks the setup, measures the camera,
trains your flick, keeps the tally in the air, and replays the log afterwards.

New here?  flicktally demo

The tally is modelled. Only the camera's own light is proof.`,
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          knownCommand,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return problem.WrongUsage(flagError(err), "see: "+cmd.CommandPath()+" --help")
	})
	root.SetVersionTemplate(versionLine() + "\n")
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { a.talk.printHelp(cmd) })
	root.AddCommand(called(a, args)...)
	root.AddCommand(helpTopics()...)
	refuseUnknownTopics(root)
	root.SetGlobalNormalizationFunc(formerNames)
	markUsage(root)
	a.guardFiles(root)
	manual.EachCommand(root, plainOptions)
	return root
}

// commands lists the commands.
var commands = []struct {
	name string
	make func(*app) *cobra.Command
}{
	{"replay", newReplay},
	{"view", newView},
	{"chart", newChart},
	{"report", newReport},
	{"calibrate", newCalibrate},
	{"odds", newOdds},
	{"compare", newCompare},
	{"season", newSeason},
	{"export", newExport},
	{"practise", newPractise},
	{"live", newLive},
	{"progress", newProgress},
	{"rig", newRig},
	{"bench", newBench},
	{"demo", newDemo},
	{"version", newVersion},
	{"man", newMan},
}

// calls reports whether a word is a command's name or its other spelling.
func calls(word, name string) bool {
	return word == name || name == "practise" && word == "practice"
}

// called builds only the named command, so that a replay does not wait for the
// flags of a dozen others. It builds all commands if none is named, or one that
// lists the others.
func called(a *app, args []string) []*cobra.Command {
	for _, c := range commands {
		if len(args) > 0 && calls(args[0], c.name) && c.name != "man" {
			return []*cobra.Command{c.make(a)}
		}
	}
	var all []*cobra.Command
	for _, c := range commands {
		all = append(all, c.make(a))
	}
	return all
}

// flagError says which flag has a bad value, what was found and what would be
// accepted.
func flagError(err error) error {
	var invalid *pflag.InvalidValueError
	if !errors.As(err, &invalid) {
		return err
	}
	name, cause := invalid.GetFlag().Name, invalid.Unwrap()
	var number *strconv.NumError
	if errors.As(cause, &number) {
		return fmt.Errorf("--%s: found %q, want a number", name, invalid.GetValue())
	}
	return fmt.Errorf("--%s: %w", name, cause)
}

// knownCommand refuses an unknown command, and names similar ones.
func knownCommand(parent *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	parent.SuggestionsMinimumDistance = 2
	hint := "see: " + parent.CommandPath() + " --help"
	if near := parent.SuggestionsFor(args[0]); len(near) > 0 {
		hint = "similar: " + strings.Join(near, ", ")
	}
	return problem.WrongUsage(fmt.Errorf("unknown command %q", args[0]), hint)
}

// markUsage marks wrong arguments of any command as wrong usage, and says which
// would be right.
func markUsage(cmd *cobra.Command) {
	if check := cmd.Args; check != nil {
		cmd.Args = func(cmd *cobra.Command, args []string) error {
			err := check(cmd, args)
			if err == nil || problem.KindOf(err) != problem.Failed {
				return err
			}
			return problem.WrongUsage(fmt.Errorf("found %s, want: %s", tell.Counted(len(args), "argument", "arguments"), cmd.UseLine()),
				"see: "+cmd.CommandPath()+" --help")
		}
	}
	for _, sub := range cmd.Commands() {
		markUsage(sub)
	}
}
