package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func newVersion(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			fmt.Fprintln(a.talk.out, versionLine())
			return nil
		},
	}
}

// versionLine returns the version, and the compiler and system that it was built
// with and for.
func versionLine() string {
	return fmt.Sprintf("flicktally %s (%s, %s/%s)", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

// version returns the module's version, or the revision it was built from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(devel)"
	}
	return info.Main.Version
}
