package main

import (
	"embed"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"flicktally/sim/belief"
	"flicktally/sim/excerpt"
	"flicktally/sim/problem"
	"flicktally/sim/rigcheck"
	"flicktally/sim/tell"
)

// The rig file is not a topic: help on the command rig explains it.

//go:embed help
var helpTexts embed.FS

// topic is a help page that belongs to no command. Its text is made on request.
type topic struct {
	name, short string
	text        func() string
}

// topics lists the topics in the order in which a pilot needs them.
var topics = []topic{
	written("logs", "Logs: how to get one, and what can be read"),
	written("setup", "Setting up: the rig file, the rig check, the bench card"),
	written("measuring", "Measuring: the camera's press window"),
	written("training", "Training: drills, a week's plan, when a flick is reliable"),
	written("aiming", "Aiming: the hold to aim for, and what to change in the rig"),
	written("tally", "Keeping the tally in the air"),
	written("doubt", "Doubt: if you do not know your camera exactly"),
	written("looking", "Looking: on the terminal, as a picture, as a page"),
	written("sharing", "Sharing: files for other programs, scripts, exit codes"),
	{"findings", "Findings: what each means, and what to do about it", findingsHelp},
	written("model", "The model: from the switch to the camera's state, rule by rule"),
}

// written is a topic with a fixed text.
func written(name, short string) topic {
	return topic{name, short, func() string {
		text, err := helpTexts.ReadFile("help/" + name + ".txt")
		if err != nil {
			panic("internal error: " + err.Error())
		}
		return string(text)
	}}
}

func helpTopics() []*cobra.Command {
	var all []*cobra.Command
	for _, t := range topics {
		cmd := &cobra.Command{Use: t.name, Short: t.short}
		cmd.SetHelpFunc(func(cmd *cobra.Command, args []string) {
			cmd.Long = t.text()
			cmd.Parent().HelpFunc()(cmd, args)
		})
		all = append(all, cmd)
	}
	return all
}

// refuseUnknownTopics makes help on an unknown topic wrong usage.
func refuseUnknownTopics(root *cobra.Command) {
	root.InitDefaultHelpCmd()
	help, _, err := root.Find([]string{"help"})
	if err != nil {
		panic("internal error: " + err.Error())
	}
	help.Args = func(_ *cobra.Command, args []string) error {
		if _, rest, err := root.Find(args); err != nil || len(rest) > 0 {
			return problem.WrongUsage(fmt.Errorf("no help on %q", strings.Join(args, " ")), "see: flicktally help")
		}
		return nil
	}
}

// helpWidth is the width of help pages.
const helpWidth = 80

// findingsHelp explains every finding.
func findingsHelp() string {
	var out strings.Builder
	out.WriteString("Findings: what each means, and what to do about it.\n\nOf a flight (replay, view, report):\n")
	for _, r := range append(tell.Rules(), belief.Rules()...) {
		explain(&out, r.Code, r.Meaning, "", r.Remedy)
	}
	out.WriteString("\nOf a rig (rig check):\n")
	for _, r := range rigcheck.Rules() {
		explain(&out, r.Code, r.Meaning, r.Why, r.Remedy)
	}
	return out.String()
}

func explain(out *strings.Builder, code tell.Code, meaning, why, remedy string) {
	out.WriteString("\n  " + string(code) + "\n")
	for _, part := range []struct{ mark, text string }{{"      ", meaning}, {"      why: ", why}, {"      → ", remedy}} {
		if part.text != "" {
			out.WriteString(excerpt.Wrap(part.mark, part.text, helpWidth) + "\n")
		}
	}
}
