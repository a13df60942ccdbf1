package chanlog

import (
	"fmt"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
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
		out.Name = excerpt.Printable(r.headers[column])
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
	if !r.isPair(out) || out.time > 1 { // the unnamed column behind the pair may be asked for as the time
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
				want: fmt.Sprintf("the %s in column #%d", spoken(role), number), hint: "columns count from #1"}
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
				want: "one for the " + spoken(role), hint: fmt.Sprintf(`say which by its number: %s = "#%d" under [log]`, role, found+1)}
		}
		found = i
	}
	if found >= 0 {
		return found, HowName, nil
	}
	miss := &misfit{missing: true, found: r.listColumns(), want: fmt.Sprintf("the %s in a column named %s", spoken(role), quoteShort(asked))}
	miss.hint = fmt.Sprintf(`say which column it is: %s = "NAME" or "#2" under [log]`, role)
	if near, ok := excerpt.Nearest(fold(asked), out.names); ok {
		miss.hint = fmt.Sprintf("did you mean %s?", quoteShort(near))
	}
	return 0, "", miss
}

// spoken says what a column is, by its key in the rig file.
func spoken(role string) string {
	if role == "armed" {
		return "armed channel"
	}
	return role
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

// fold is how names are compared: case and outer spaces do not count.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }
