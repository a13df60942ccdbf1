// Package manual documents a tree of commands: it writes the manual page, and the
// text of each option for help.
package manual

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Page is what a manual page has besides the commands.
type Page struct {
	Codes  []Section // exit codes with their meanings
	Topics []Section // of help
}

// Section is a title with its text.
type Section struct{ Title, Text string }

// Write writes the manual page in the macros of man(7). It has no date,
// so that equal programs give equal pages.
func Write(out io.Writer, root *cobra.Command, page Page) {
	fmt.Fprintf(out, ".TH FLICKTALLY 1 \"\" \"flicktally\" \"User Commands\"\n")
	section(out, "NAME", "flicktally \\- "+roff(lowered(root.Short)))
	section(out, "SYNOPSIS", ".B flicktally\n.I command\n[\\fIoptions\\fR] [\\fIargument\\fR ...]")
	section(out, "DESCRIPTION", roffText(root.Long))
	fmt.Fprintln(out, ".SH COMMANDS")
	EachCommand(root, func(cmd *cobra.Command) {
		if cmd.Runnable() && cmd != root {
			manualCommand(out, cmd)
		}
	})
	fmt.Fprintln(out, ".SH EXIT STATUS")
	for _, code := range page.Codes {
		fmt.Fprintf(out, ".TP\n.B %s\n%s\n", code.Title, roff(code.Text))
	}
	section(out, "ENVIRONMENT", ".TP\n.B NO_COLOR\n"+roff("If it is set, and not empty, no colour is used."))
	section(out, "FILES", ".TP\n.I rig.toml\n"+roff("The rig, if it is in the working folder and --rig names no other."))
	for _, t := range page.Topics {
		section(out, strings.ToUpper(t.Title), roffText(t.Text))
	}
}

// EachCommand visits the user's commands, in the order of help, without those
// that the library adds.
func EachCommand(cmd *cobra.Command, visit func(*cobra.Command)) {
	if cmd.Hidden || cmd.Name() == "help" || cmd.HasParent() && cmd.Parent().Name() == "completion" {
		return
	}
	visit(cmd)
	for _, sub := range cmd.Commands() {
		EachCommand(sub, visit)
	}
}

func manualCommand(out io.Writer, cmd *cobra.Command) {
	fmt.Fprintf(out, ".SS %s\n%s.\n", roff(cmd.UseLine()), roff(cmd.Short))
	if cmd.Long != "" {
		fmt.Fprintf(out, ".PP\n%s\n", roffText(cmd.Long))
	}
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Name == "help" {
			return
		}
		value, usage := optionValue(f)
		fmt.Fprintf(out, ".TP\n%s\n%s\n", manualFlag(f, value), roff(usage+defaultText(f)))
	})
	if cmd.Example != "" {
		fmt.Fprintf(out, ".PP\nExamples:\n.PP\n%s\n", verbatim(strings.Split(cmd.Example, "\n")))
	}
}

func manualFlag(f *pflag.Flag, value string) string {
	text := "\\fB" + roff("--"+f.Name) + "\\fR"
	if f.Shorthand != "" {
		text = "\\fB" + roff("-"+f.Shorthand) + "\\fR, " + text
	}
	if value != "" {
		text += " \\fI" + roff(value) + "\\fR"
	}
	return text
}

func section(out io.Writer, title, body string) { fmt.Fprintf(out, ".SH %s\n%s\n", title, body) }

// roffText sets text in paragraphs; lines that are indented, or that begin like
// a line of a rig file, stay as they are.
func roffText(text string) string {
	var parts []string
	for _, paragraph := range strings.Split(strings.TrimSpace(text), "\n\n") {
		lines := strings.Split(paragraph, "\n")
		if isVerbatim(lines) {
			parts = append(parts, verbatim(lines))
		} else {
			parts = append(parts, roff(strings.Join(lines, " ")))
		}
	}
	return strings.Join(parts, "\n.PP\n")
}

func isVerbatim(lines []string) bool {
	for _, line := range lines {
		if strings.HasPrefix(line, " ") || strings.HasPrefix(line, "[") || strings.HasPrefix(line, "#") || strings.Contains(line, " = ") {
			return true
		}
	}
	return false
}

// verbatim keeps lines as they are.
func verbatim(lines []string) string {
	var out []string
	for _, line := range lines {
		out = append(out, roff(line))
	}
	return ".nf\n" + strings.Join(out, "\n") + "\n.fi"
}

// roff escapes text so that roff shows it literally.
func roff(text string) string {
	text = codePoints(roffSpecial.Replace(text))
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = `\&` + text
	}
	return text
}

var roffSpecial = strings.NewReplacer(
	`\`, `\e`, "-", `\-`, "~", `\(ti`, "^", `\(ha`, "`", `\(ga`, "'", `\(aq`,
	"→", `\(->`, "…", "...",
)

// codePoints writes characters outside ASCII by their code points.
func codePoints(text string) string {
	var out strings.Builder
	for _, r := range text {
		if r < utf8.RuneSelf {
			out.WriteRune(r)
		} else {
			fmt.Fprintf(&out, `\[u%04X]`, r)
		}
	}
	return out.String()
}

func lowered(text string) string { return strings.ToLower(text[:1]) + text[1:] }
