package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"flicktally/cmd/manual"
)

func newMan(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "man",
		Short: "Print the manual page",
		Long: `Man prints the manual page flicktally(1), with all commands, their options, and the
topics of help.`,
		Example: `  flicktally man > flicktally.1
  flicktally man | man -l -`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var page manual.Page
			for code, meaning := range exitCodes {
				page.Codes = append(page.Codes, manual.Section{Title: strconv.Itoa(code), Text: meaning})
			}
			for _, t := range topics {
				page.Topics = append(page.Topics, manual.Section{Title: t.name, Text: t.text()})
			}
			manual.Write(a.talk.out, cmd.Root(), page)
			return nil
		},
	}
}
