package rigfile

import (
	"bytes"
	_ "embed"
	"fmt"
	"text/tabwriter"

	"flicktally/sim"
)

//go:embed default.toml
var defaultFile string

// Default returns a rig file to start from. It has every key with its default
// and a comment; keys without a default are commented out. The camera's values
// are marked as examples.
func Default() []byte { return []byte(defaultFile) }

const legend = `# Values marked "default" or "example" were not given. An example fits no
# camera for certain: measure yours at the bench.
`

// Format writes the rig of f as a rig file with every key. If the rig is valid,
// [Parse] returns the same rig. A comment marks each default that f did not give,
// in [camera] as an example.
func Format(f File) []byte {
	ofFile, ofDefault := fields(&f.Rig), fields(new(sim.DefaultRig()))
	var out bytes.Buffer
	columns := tabwriter.NewWriter(&out, 0, 0, 1, ' ', 0)
	fmt.Fprint(columns, legend, "\n")
	table := ""
	for i, field := range ofFile {
		if field.table() != table {
			table = field.table()
			fmt.Fprintf(columns, "\n[%s]\n", table)
		}
		written := field.value.write()
		fmt.Fprintf(columns, "%s\t= %s", field.name(), written)
		if !f.Given[field.key] && written == ofDefault[i].value.write() {
			mark := "default"
			if table == "camera" {
				mark = "example"
			}
			fmt.Fprint(columns, "\t# "+mark)
		}
		fmt.Fprintln(columns)
	}
	// A bytes.Buffer never fails.
	_ = columns.Flush()
	return out.Bytes()
}
