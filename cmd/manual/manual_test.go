package manual_test

import (
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"

	"flicktally/cmd/manual"
)

// The page is in the macros of man(7); what roff would act on is escaped as
// groff_char(7) says.
func TestWrite(t *testing.T) {
	root := &cobra.Command{Use: "flicktally", Short: "Replay", Long: "It replays.\n\n  as it is"}
	replay := &cobra.Command{Use: "replay", Short: "Replay a log", RunE: func(*cobra.Command, []string) error { return nil }}
	replay.Flags().StringP("output", "o", "", "the `file` to write")
	root.AddCommand(replay)
	var out strings.Builder
	manual.Write(&out, root, manual.Page{
		Codes:  []manual.Section{{Title: "4", Text: "A flick failed."}},
		Topics: []manual.Section{{Title: "model", Text: ".5 µs is 'short'"}},
	})
	for _, want := range []string{
		".TH FLICKTALLY 1", "It replays.\n.PP\n.nf\n  as it is\n.fi\n", ".SS flicktally replay [flags]\nReplay a log.\n",
		".TP\n\\fB\\-o\\fR, \\fB\\-\\-output\\fR \\fIFILE\\fR\nthe file to write\n", ".TP\n.B 4\nA flick failed.\n",
		".SH MODEL\n\\&.5 \\[u00B5]s is \\(aqshort\\(aq\n",
	} {
		require.Contains(t, out.String(), want)
	}
	require.Equal(t, "  -o, --output FILE       the file to write", manual.OptionText(replay.Flags().Lookup("output"), 80))
}
