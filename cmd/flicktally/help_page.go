package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"flicktally/cmd/manual"
	"flicktally/sim/excerpt"
)

// A page of help says what a command is for, and has examples, a text, and the
// options in groups.

// guide is the first page: what to use when. A test compares it with the
// commands.
var guide = []struct {
	when  string
	lines []guideLine
}{
	{"Before the flight", []guideLine{
		{"rig", "describe the rig, and see what will go wrong with it"},
		{"practise, progress", "train the flick, and see your progress"},
		{"odds, compare", "find the hold to aim for, and what to change in the rig"},
	}},
	{"At the bench", []guideLine{
		{"bench", "print a checklist: what to verify, in which order"},
		{"calibrate", "measure how long a press must be, and how long it may be"},
	}},
	{"In the air", []guideLine{
		{"live", "keep the tally: is the camera recording?"},
	}},
	{"After the flight", []guideLine{
		{"replay, season", "see what one flight lost, and what many flights show"},
		{"view, chart, report", "look at it: on the terminal, as a picture, as a page"},
		{"export", "write takes, cues, edits or signals for other programs"},
	}},
	{"Any time", []guideLine{
		{"demo", "take a tour on an invented flight"},
		{"version, man", "print the version, or the manual page"},
	}},
}

type guideLine struct{ commands, text string }

// printGuide prints the first page.
func (t *talk) printGuide(root *cobra.Command) {
	fmt.Fprintf(t.out, "%s\n", root.Long)
	for _, part := range guide {
		fmt.Fprintln(t.out)
		t.Heading(part.when)
		for _, line := range part.lines {
			fmt.Fprintf(t.out, "  %-20s %s\n", line.commands, line.text)
		}
	}
	var names []string
	for _, topic := range topics {
		names = append(names, topic.name)
	}
	fmt.Fprintln(t.out)
	t.Heading("More to read")
	fmt.Fprintln(t.out, "  flicktally help COMMAND, for example: flicktally help replay")
	fmt.Fprintln(t.out, excerpt.Wrap("  flicktally help TOPIC, one of: ", strings.Join(names, ", "), helpWidth))
}

// printHelp prints the page of a command or a topic.
func (t *talk) printHelp(cmd *cobra.Command) {
	if !cmd.HasParent() {
		t.printGuide(cmd)
		return
	}
	if !cmd.Runnable() { // a topic
		fmt.Fprintln(t.out, strings.TrimSpace(cmd.Long))
		return
	}
	t.Heading(cmd.UseLine())
	fmt.Fprintln(t.out, cmd.Short+".")
	for _, text := range []string{cmd.Example, cmd.Long} {
		if text != "" {
			fmt.Fprintf(t.out, "\n%s\n", strings.TrimRight(text, "\n"))
		}
	}
	t.printCommandsOf(cmd)
	for _, group := range optionGroups(cmd) {
		fmt.Fprintln(t.out)
		t.Heading(group.title)
		for _, flag := range group.flags {
			fmt.Fprintln(t.out, manual.OptionText(flag, helpWidth))
		}
	}
}

func (t *talk) printCommandsOf(cmd *cobra.Command) {
	for i, sub := range cmd.Commands() {
		if i == 0 {
			fmt.Fprintln(t.out)
			t.Heading("Commands")
		}
		fmt.Fprintf(t.out, "  %-6s %s\n", sub.Name(), sub.Short)
	}
}

// optionGroup are options that belong together.
type optionGroup struct {
	title string
	flags []*pflag.Flag
}

// readingOptions are the options for reading a log. All commands that read logs
// share them, so they come last.
var readingOptions = []string{"time", "unit", "channel", "armed", "failsafe", "words", "armed-words", "scale", "offset", "delimiter", "wire", "system", "lenient"}

// optionGroups returns the options of a command in their groups, without empty
// ones.
func optionGroups(cmd *cobra.Command) []optionGroup {
	own, reading := optionGroup{title: "Options"}, optionGroup{title: "Options for reading logs (see: flicktally help logs)"}
	cmd.LocalFlags().VisitAll(func(flag *pflag.Flag) {
		switch {
		case flag.Hidden || flag.Name == "help":
		case slices.Contains(readingOptions, flag.Name):
			reading.flags = append(reading.flags, flag)
		default:
			own.flags = append(own.flags, flag)
		}
	})
	var groups []optionGroup
	for _, group := range []optionGroup{own, reading} {
		if len(group.flags) > 0 {
			groups = append(groups, group)
		}
	}
	return groups
}
