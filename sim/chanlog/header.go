package chanlog

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"flicktally/sim"
)

// layout says where the wanted numbers are in a row; columns count from 0.
type layout struct {
	delim   byte
	columns int
	// lastUnnamed marks a header that ends with a delimiter: rows may lack
	// their last field then.
	lastUnnamed bool
	names       []string // of the header, folded; nil without one
	time        int
	channel     int
	armed       int // -1 where the log does not tell
	unit        int // exponent of the time's unit
	comma       bool
}

// has reports whether a column is one of the wanted ones.
func (l *layout) has(column int) bool {
	return column == l.time || column == l.channel || column == l.armed
}

// resolved is a layout and how it came about.
type resolved struct {
	layout
	timeHow, channelHow, armedHow How
	timeUnit                      sim.TimeUnit
	unitHow                       How
	headers                       []string // as they stand in the log; nil without a header
}

// column describes a column for the summary.
func (r *resolved) column(column int, how How) Column {
	out := Column{Number: column + 1, How: how}
	if r.headers != nil {
		out.Name = printable(r.headers[column])
	}
	return out
}

// byName reports whether some column was found by what the header says.
func (r *resolved) byName() bool {
	for _, how := range []How{r.timeHow, r.channelHow, r.armedHow} {
		if how == HowName || how == HowReading {
			return true
		}
	}
	return false
}

// misfit is why the columns of a log are not what was asked for.
type misfit struct {
	missing     bool // a column is not there, so that this may be no header at all
	found, want string
	hint        string
}

// defaultTime is the name of the time column that was not chosen by anybody:
// only then may another column that reads as a time take its place.
var defaultTime = sim.DefaultRig().Log.Time

// resolver finds the wanted columns among those that a log has.
type resolver struct {
	spec  sim.LogSpec
	names []string // as they stand in the header; nil without a header
	count int      // columns
}

// resolve returns where the wanted columns are.
func (r resolver) resolve() (resolved, *misfit) {
	out := resolved{layout: layout{columns: r.count, armed: -1}, headers: r.names}
	for _, name := range r.names {
		out.names = append(out.names, fold(name))
	}
	out.lastUnnamed = r.count > 1 && r.names != nil && out.names[r.count-1] == ""
	var miss *misfit
	if out.time, out.timeHow, miss = r.timeColumn(out); miss != nil {
		return out, miss
	}
	if out.channel, out.channelHow, miss = r.channelColumn(out); miss != nil {
		return out, miss
	}
	if out.channel == out.time {
		return out, &misfit{found: fmt.Sprintf("column #%d for both the time and the channel", out.time+1), want: "two columns"}
	}
	if r.spec.Armed != "" {
		if out.armed, out.armedHow, miss = r.column(out, "armed", r.spec.Armed); miss != nil {
			return out, miss
		}
	}
	out.timeUnit, out.unitHow, miss = r.timeUnit(out)
	out.unit = unitExponent(out.timeUnit)
	return out, miss
}

// timeColumn finds the time. A name that nobody chose gives way to the one
// column that reads as a time with its unit, to the first of two columns, and
// to the first of a log without a header.
func (r resolver) timeColumn(out resolved) (int, How, *misfit) {
	column, how, miss := r.column(out, "time", r.spec.Time)
	if miss == nil || !miss.missing || r.spec.Time != defaultTime {
		return column, how, miss
	}
	if r.names == nil {
		return 0, HowPosition, nil
	}
	found := -1
	for i, name := range r.names {
		if readsAsTime(name) {
			if found >= 0 {
				return 0, "", miss
			}
			found = i
		}
	}
	switch {
	case found >= 0:
		return found, HowReading, nil
	case r.isPair(out):
		return 0, HowPosition, nil
	}
	return 0, "", miss
}

// isPair reports whether the log is one of a time and a channel only, in which
// nobody has to say which is the channel.
func (r resolver) isPair(out resolved) bool {
	named := r.count
	if out.lastUnnamed {
		named--
	}
	return r.spec.Channel == "" && named == 2
}

func (r resolver) channelColumn(out resolved) (int, How, *misfit) {
	if r.spec.Channel != "" {
		return r.column(out, "channel", r.spec.Channel)
	}
	if !r.isPair(out) {
		return 0, "", &misfit{missing: true,
			found: r.listColumns(), want: "the name or the number of the channel's column",
			hint: `say which column holds the channel: channel = "NAME" or "#2" under [log]`}
	}
	return 1 - out.time, HowPosition, nil
}

// column finds a column by its name, or by its number as "#7".
func (r resolver) column(out resolved, role, asked string) (int, How, *misfit) {
	if number, ok := parseNumberRef(asked); ok {
		if number < 1 || number > r.count {
			return 0, "", &misfit{missing: true, found: r.listColumns(),
				want: fmt.Sprintf("the %s in column #%d", role, number), hint: "columns count from #1"}
		}
		return number - 1, HowNumber, nil
	}
	found := -1
	for i, name := range out.names {
		if name != fold(asked) {
			continue
		}
		if found >= 0 {
			return 0, "", &misfit{found: fmt.Sprintf("two columns named %s, #%d and #%d", quoteShort(asked), found+1, i+1),
				want: "one for the " + role, hint: fmt.Sprintf(`say which by its number: %s = "#%d" under [log]`, role, found+1)}
		}
		found = i
	}
	if found >= 0 {
		return found, HowName, nil
	}
	miss := &misfit{missing: true, found: r.listColumns(), want: fmt.Sprintf("the %s in a column named %s", role, quoteShort(asked))}
	miss.hint = fmt.Sprintf(`say which column it is: %s = "NAME" or "#2" under [log]`, role)
	if near, ok := nearest(fold(asked), out.names); ok {
		miss.hint = fmt.Sprintf("did you mean %s?", quoteShort(near))
	}
	return 0, "", miss
}

// parseNumberRef reads "#7".
func parseNumberRef(asked string) (int, bool) {
	digits, ok := strings.CutPrefix(strings.TrimSpace(asked), "#")
	if !ok {
		return 0, false
	}
	number, err := strconv.ParseUint(digits, 10, 31)
	return int(number), err == nil
}

// listColumns names the columns for a message, the first 64 at most.
func (r resolver) listColumns() string {
	const most = 64
	switch {
	case r.names == nil && r.count == 1:
		return "one column and no header"
	case r.names == nil:
		return fmt.Sprintf("%d columns and no header", r.count)
	case r.count == 1:
		return "the column " + quoteShort(r.names[0]) + " only"
	}
	var list []string
	for _, name := range r.names[:min(len(r.names), most)] {
		list = append(list, quoteShort(name))
	}
	text := "the columns " + strings.Join(list, ", ")
	if more := len(r.names) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// timeUnit returns the unit of the time column.
func (r resolver) timeUnit(out resolved) (sim.TimeUnit, How, *misfit) {
	if r.spec.Unit != sim.UnitAuto {
		return r.spec.Unit, HowGiven, nil
	}
	if r.names == nil {
		return sim.UnitMicros, HowAssumed, nil
	}
	unit, foreign := unitOf(r.names[out.time])
	switch {
	case foreign != "":
		return "", "", &misfit{found: fmt.Sprintf("a time in %q, column %s", foreign, quoteShort(r.names[out.time])),
			want: "us, ms or s", hint: `convert it; or, if the header errs, say which it is: unit = "us" under [log]`}
	case unit == "":
		return sim.UnitMicros, HowAssumed, nil
	}
	return unit, HowHeader, nil
}

// fold is how names are compared: case and outer spaces do not count.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

var unitWords = map[string]sim.TimeUnit{
	"us": sim.UnitMicros, "usec": sim.UnitMicros, "usecs": sim.UnitMicros, "µs": sim.UnitMicros, "μs": sim.UnitMicros,
	"micros": sim.UnitMicros, "microsecond": sim.UnitMicros, "microseconds": sim.UnitMicros,
	"ms": sim.UnitMillis, "msec": sim.UnitMillis, "msecs": sim.UnitMillis,
	"millis": sim.UnitMillis, "millisecond": sim.UnitMillis, "milliseconds": sim.UnitMillis,
	"s": sim.UnitSeconds, "sec": sim.UnitSeconds, "secs": sim.UnitSeconds, "second": sim.UnitSeconds, "seconds": sim.UnitSeconds,
}

// foreignUnits are units of time that a log may have and the reader does not
// take: to assume µs then would be wrong by orders of magnitude.
var foreignUnits = map[string]bool{
	"ns": true, "nsec": true, "nanos": true, "nanoseconds": true,
	"min": true, "mins": true, "minutes": true, "h": true, "hours": true,
}

var timeWords = map[string]bool{"time": true, "t": true, "timestamp": true, "elapsed": true, "clock": true}

// unitOf returns the one unit of time that a header names, "" if it names none
// or several; foreign is one that is not taken.
func unitOf(name string) (unit sim.TimeUnit, foreign string) {
	for _, word := range words(name) {
		if foreignUnits[word] {
			foreign = word
		}
		if u, ok := unitWords[word]; ok {
			if unit != "" && unit != u {
				return "", ""
			}
			unit = u
		}
	}
	if unit != "" {
		foreign = ""
	}
	return unit, foreign
}

// readsAsTime reports whether a header says that its column is a time, and in
// which unit.
func readsAsTime(name string) bool {
	unit, _ := unitOf(name)
	if unit == "" {
		return false
	}
	for _, word := range words(name) {
		if timeWords[word] {
			return true
		}
	}
	return false
}

// words cuts a header at everything that is no letter, and where a small
// letter is followed by a capital one: "timeMs", "Time [ms]", "time_ms".
func words(name string) []string {
	var out []string
	var word strings.Builder
	small := false
	// What is not UTF-8 in a header is, as a rule, the micro sign of Latin-1.
	for _, r := range strings.ToValidUTF8(name, "µ") + " " {
		if !unicode.IsLetter(r) || small && unicode.IsUpper(r) {
			if word.Len() > 0 {
				out = append(out, strings.ToLower(word.String()))
			}
			word.Reset()
		}
		if unicode.IsLetter(r) {
			word.WriteRune(r)
		}
		small = unicode.IsLower(r)
	}
	return out
}

// nearest returns the candidate that takes the fewest edits, if it is near
// enough to be what was meant.
func nearest(word string, candidates []string) (string, bool) {
	best, fewest := "", max(2, len(word)/3)+1
	for _, candidate := range candidates {
		if len(candidate) > 2*len(word)+maxShown || candidate == "" {
			continue
		}
		if n := edits(word, candidate); n < fewest {
			best, fewest = candidate, n
		}
	}
	return best, best != ""
}

// edits counts the insertions, deletions and replacements from a to b
// (Levenshtein 1966), by the usual table of which one row is kept.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replace := diagonal
			if a[i] != b[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}
