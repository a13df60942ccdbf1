package season

import (
	"encoding/csv"
	"io"
	"strconv"
	"time"
)

// WriteFlicks writes one row per flick as CSV (RFC 4180).
func (s *Season) WriteFlicks(w io.Writer) error {
	table := csv.NewWriter(w)
	table.UseCRLF = true
	rows := [][]string{{"file", "segment", "began", "at_us", "hold_us", "outcome", "chance"}}
	for _, f := range s.Flights() {
		for _, k := range f.Held {
			hold := ""
			if k.Hold != nil {
				hold = strconv.FormatInt(int64(*k.Hold), 10)
			}
			rows = append(rows, []string{
				f.File, strconv.Itoa(f.Segment), f.Began.Format(time.RFC3339), strconv.FormatInt(int64(k.At), 10), hold,
				string(k.Outcome), strconv.FormatFloat(k.Chance, 'g', -1, 64),
			})
		}
	}
	return table.WriteAll(rows)
}
