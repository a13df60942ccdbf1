package history

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"time"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// flickColumns are the columns of [WriteFlicks].
var flickColumns = []string{
	"drill", "began", "kind", "device", "rig", "rig_hash", "version", "flick", "run", "cold",
	"down_us", "up_us", "hold_us", "aim_us", "seen_us", "margin_us", "verdict", "too_close",
}

// WriteFlicks writes one row per flick as CSV (RFC 4180).
func WriteFlicks(w io.Writer, h *History) error {
	t := newTable(w, flickColumns)
	for _, d := range h.Drills {
		for _, f := range d.Flicks {
			t.row(append(d.columns(), number(f.N), number(f.Run), strconv.FormatBool(f.Cold),
				micros(f.Down), micros(f.Up), micros(f.Hold()), d.aim(), micros(f.Seen), micros(f.Margin),
				excerpt.Cell(string(f.Verdict)), strconv.FormatBool(f.TooClose)))
		}
	}
	return t.done()
}

// trialColumns are the columns of [WriteTrials].
var trialColumns = []string{
	"drill", "began", "kind", "device", "rig", "rig_hash", "version", "trial", "task", "level",
	"began_us", "ended_us", "aim_us", "result", "right", "within", "counts", "cold", "off_us", "tolerance_us", "words",
}

// WriteTrials writes one row per trial as CSV (RFC 4180).
func WriteTrials(w io.Writer, h *History) error {
	t := newTable(w, trialColumns)
	for _, d := range h.Drills {
		for _, r := range d.Results {
			off, tolerance := "", ""
			if r.Scored {
				off, tolerance = micros(r.Off), micros(r.Tolerance)
			}
			t.row(append(d.columns(), number(r.N), excerpt.Cell(string(r.Kind)), number(r.Level),
				micros(r.Began), micros(r.Ended), d.aim(), excerpt.Cell(string(r.Outcome)), strconv.FormatBool(r.Right), strconv.FormatBool(r.Within),
				strconv.FormatBool(r.Counts()), strconv.FormatBool(r.Cold), off, tolerance, excerpt.Cell(r.Words)))
		}
	}
	return t.done()
}

// columns returns the first fields of every row, which are about the drill.
func (d *Drill) columns() []string {
	return []string{
		excerpt.Cell(d.ID), d.Began.Format(time.RFC3339), excerpt.Cell(string(d.Kind)),
		excerpt.Cell(d.Device), excerpt.Cell(d.RigName), excerpt.Cell(d.RigHash), excerpt.Cell(d.Version),
	}
}

// aim returns the hold to aim for; "" in old journals.
func (d *Drill) aim() string {
	if d.begin.Aim == 0 {
		return ""
	}
	return micros(d.begin.Aim)
}

func number(n int) string        { return strconv.Itoa(n) }
func micros(m sim.Micros) string { return strconv.FormatInt(int64(m), 10) }

// table writes rows and keeps the first error.
type table struct{ csv *csv.Writer }

func newTable(w io.Writer, columns []string) table {
	t := table{csv.NewWriter(w)}
	t.csv.UseCRLF = true
	t.row(columns)
	return t
}

func (t table) row(fields []string) { t.csv.Write(fields) } // done returns the error

func (t table) done() error {
	t.csv.Flush()
	return t.csv.Error()
}

// exported is a drill as [WriteJSON] writes it.
type exported struct {
	Drill string `json:"drill"`
	Context
	Begin  drillPart   `json:"begin"`
	Runs   []runPart   `json:"runs"`
	Flicks []flickPart `json:"flicks"`
	Trials []trialPart `json:"trials"`
}

// WriteJSON writes all drills as one JSON object, with the fields of the journal.
func WriteJSON(w io.Writer, h *History) error {
	all := struct {
		Schema int        `json:"schema"`
		Drills []exported `json:"drills"`
	}{schema, []exported{}}
	for _, d := range h.Drills {
		e := exported{d.ID, d.Context, d.begin, []runPart{}, []flickPart{}, []trialPart{}}
		for _, run := range d.Runs {
			e.Runs = append(e.Runs, runPart(run))
		}
		for _, f := range d.Flicks {
			e.Flicks = append(e.Flicks, *newFlickPart(f))
		}
		for _, r := range d.Results {
			e.Trials = append(e.Trials, trialPart(r))
		}
		all.Drills = append(all.Drills, e)
	}
	encoder := json.NewEncoder(excerpt.JSON(w))
	encoder.SetIndent("", " ")
	return encoder.Encode(all)
}

// Find returns the drill with an ID, or for "last" the latest with a flick; nil if
// there is none.
func (h *History) Find(id string) *Drill {
	for i := len(h.Drills) - 1; i >= 0; i-- {
		if d := h.Drills[i]; d.ID == id || id == "last" && len(d.Flicks) > 0 {
			return d
		}
	}
	return nil
}
