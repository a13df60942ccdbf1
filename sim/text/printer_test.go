package text

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A long table looks like any other: the library's tabwriter is what it is
// compared with.
func TestALongTableLooksLikeAnyOther(t *testing.T) {
	cell := rapid.StringMatching(`[a-z0-9µ→.]{0,4}( [a-zµ]{1,9})?`)
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(1, 5).Draw(t, "columns")
		lines := rapid.SliceOf(rapid.SliceOfN(cell, columns, columns)).Draw(t, "lines")
		long := printed(func(to *Printer) {
			to.longTable(len(lines), func(table *longTable) {
				for _, cells := range lines {
					table.row(cells...)
				}
			})
		})
		other := printed(func(to *Printer) {
			to.Table(func(w io.Writer) {
				for _, cells := range lines {
					io.WriteString(w, strings.Join(cells, "\t")+"\n")
				}
			})
		})
		require.Equal(t, other, long)
	})
}

func printed(print func(*Printer)) string {
	var out bytes.Buffer
	print(New(&out, false))
	return out.String()
}
