package chanlog

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/problem"
)

// layout says where the wanted fields are in a row. Columns count from 0.
type layout struct {
	delim   byte
	columns int
	// lastUnnamed says that the header ends with a delimiter: rows may then lack
	// their last field.
	lastUnnamed bool
	names       []string // of the header, folded; nil without one
	time        int
	channel     int
	date        int // of the time; like armed and failsafe, -1 if there is none
	armed       int
	failsafe    int
	form        timeForm
	comma       bool // numbers may have a decimal comma
}

// wanted returns the wanted columns with their roles.
func (l *layout) wanted() []wantedColumn {
	var all []wantedColumn
	for i, column := range []int{roleTime: l.time, roleDate: l.date, roleChannel: l.channel, roleArmed: l.armed, roleFailsafe: l.failsafe} {
		if column >= 0 {
			all = append(all, wantedColumn{column: column, role: role(i)})
		}
	}
	return all
}

// has reports whether a column is one of the wanted ones.
func (l *layout) has(column int) bool {
	return slices.ContainsFunc(l.wanted(), func(w wantedColumn) bool { return w.column == column })
}

// resolved is a layout and how it was found.
type resolved struct {
	layout
	spec                                       sim.LogSpec
	timeHow, channelHow, armedHow, failsafeHow How
	// timeByWord says that the header has a word for time, but no unit.
	timeByWord bool
	unit       string // of the time, with its multiple; "" = not yet known
	unitHow    How
	headers    []string    // as in the log; nil without a header
	quoted     bool        // some header is in quotes
	place      SyntaxError // the header, or the first row
}

// describe describes a column for the summary; the zero Column is for -1.
func (r *resolved) describe(column int, how How) Column {
	if column < 0 {
		return Column{}
	}
	out := Column{Number: column + 1, How: how}
	if r.headers != nil {
		out.Name = excerpt.Printable(r.headers[column])
	}
	return out
}

// byName reports whether any column was found by its header.
func (r *resolved) byName() bool {
	hows := []How{r.channelHow, r.armedHow, r.failsafeHow}
	if !r.timeByWord {
		hows = append(hows, r.timeHow)
	}
	return slices.Contains(hows, howName) || slices.Contains(hows, howReading)
}

// misfit is why a log does not have the wanted columns.
type misfit struct {
	missing     bool // a column is missing, so this may not be a header at all
	found, want string
	hint        string
}

// at returns the error of a misfit at a place.
func (m *misfit) at(place *SyntaxError) error {
	place.Found, place.Want, place.Misfit = m.found, m.want, m.missing
	return problem.Hinted(place, m.hint)
}

// defaultTime is the default name of the time column. If no column has it, one
// that reads as a time is used.
var defaultTime = sim.DefaultRig().Log.Time

// resolve finds the wanted columns among those of a log. headers is nil if it has
// no header.
func resolve(spec sim.LogSpec, headers []string, columns int) (resolved, *misfit) {
	r := resolved{spec: spec, layout: layout{columns: columns, date: -1, armed: -1, failsafe: -1}, headers: headers}
	for _, name := range headers {
		r.names = append(r.names, fold(name))
	}
	r.lastUnnamed = r.columns > 1 && r.headers != nil && r.names[r.columns-1] == ""
	if miss := r.findTime(); miss != nil {
		return r, miss
	}
	var miss *misfit
	if r.channel, r.channelHow, miss = r.findChannel(); miss != nil {
		return r, miss
	}
	if r.channel == r.time {
		return r, &misfit{found: fmt.Sprintf("column #%d for both the time and the channel", r.time+1), want: "two columns"}
	}
	if r.armed, r.armedHow, miss = r.find("armed", r.spec.Armed); miss != nil {
		return r, miss
	}
	if r.failsafe, r.failsafeHow, miss = r.find("failsafe", r.spec.Failsafe); miss != nil {
		return r, miss
	}
	r.findUnit()
	return r, nil
}

// findTime finds the time, in one column or two. In place of the default name
// it accepts a column that reads as a time, the first of two columns, or the
// first column of a log without a header.
func (r *resolved) findTime() (miss *misfit) {
	if r.time, r.timeHow, miss = r.find("time", r.spec.Time); miss == nil || !miss.missing {
		return miss
	}
	if date, time, two := strings.Cut(r.spec.Time, "+"); two {
		if r.date, _, miss = r.find("time", date); miss == nil {
			r.time, r.timeHow, miss = r.find("time", time)
		}
		return miss
	}
	if r.spec.Time != defaultTime {
		return miss
	}
	if r.headers == nil {
		r.time, r.timeHow = 0, howPosition
		return nil
	}
	if r.time, r.timeHow = r.readTime(); r.time >= 0 {
		return nil
	}
	if r.time, r.timeHow = 0, howPosition; r.isPair() {
		return nil
	}
	return miss
}

// readTime finds the only column whose header reads as a time with a unit.
// Otherwise it finds the only one that reads as a time, and the only one that
// reads as a date if there is one. It returns none or several if that fails.
func (r *resolved) readTime() (column int, how How) {
	withUnit, bare, date := none, none, none
	for i, name := range r.headers {
		switch is, unit := readsAsTime(name); {
		case is && unit:
			withUnit = only(withUnit, i)
		case is:
			bare = only(bare, i)
		case readsAsDate(name):
			date = only(date, i)
		}
	}
	if withUnit != none {
		return withUnit, howReading
	}
	if bare >= 0 {
		r.date, r.timeByWord = max(date, none), true
	}
	return bare, howReading
}

// Results for no column and for several.
const (
	none    = -1
	several = -2
)

// only returns a column, or several if one was found before.
func only(before, column int) int {
	if before == none {
		return column
	}
	return several
}

// findUnit takes the given unit, or that of the header.
func (r *resolved) findUnit() {
	r.unit, r.unitHow, r.form.tick = string(r.spec.Unit), howGiven, ticks[r.spec.Unit]
	if r.spec.Unit != sim.UnitAuto {
		return
	}
	r.unit, r.unitHow = "", ""
	if r.headers == nil {
		return
	}
	if text, t, ok := unitOf(r.headers[r.time]); ok {
		r.unit, r.unitHow, r.form.tick = text, howHeader, t
	}
}

// isPair reports whether the log has only a time and a channel, so that the
// channel need not be named.
func (r *resolved) isPair() bool {
	named := r.columns
	if r.lastUnnamed {
		named--
	}
	if r.date >= 0 {
		named--
	}
	return r.spec.Channel == "" && named == 2
}

func (r *resolved) findChannel() (int, How, *misfit) {
	if r.spec.Channel != "" {
		return r.find("channel", r.spec.Channel)
	}
	// The unnamed column after the pair may be requested as the time.
	if r.isPair() && !(r.lastUnnamed && r.time == r.columns-1) {
		column := 0
		for column == r.time || column == r.date {
			column++
		}
		return column, howPosition, nil
	}
	return 0, "", &misfit{missing: true,
		found: r.listColumns(), want: "the name or the number of the channel's column",
		hint: `say which column holds the channel: channel = "NAME" or "#2" under [log]`}
}

// find finds a column by its name, or by its number as "#7". It returns -1 for an
// optional column that is not asked for.
func (r *resolved) find(role, asked string) (int, How, *misfit) {
	if asked == "" && role != "time" {
		return -1, "", nil
	}
	if number, ok := parseNumberRef(asked); ok {
		if number < 1 || number > r.columns {
			return 0, "", &misfit{missing: true, found: r.listColumns(),
				want: fmt.Sprintf("the %s in column #%d", spoken(role), number), hint: "columns count from #1"}
		}
		return number - 1, howNumber, nil
	}
	found := -1
	for i, name := range r.names {
		if name != fold(asked) {
			continue
		}
		if found >= 0 {
			return 0, "", &misfit{found: fmt.Sprintf("two columns named %s, #%d and #%d", excerpt.Quote(asked), found+1, i+1),
				want: "one for the " + spoken(role), hint: fmt.Sprintf(`say which by its number: %s = "#%d" under [log]`, role, found+1)}
		}
		found = i
	}
	if found >= 0 {
		return found, howName, nil
	}
	miss := &misfit{missing: true, found: r.listColumns(), want: fmt.Sprintf("the %s in a column named %s", spoken(role), excerpt.Quote(asked))}
	miss.hint = fmt.Sprintf(`say which column it is: %s = "NAME" or "#2" under [log]`, role)
	if near, ok := excerpt.Nearest(fold(asked), r.names); ok {
		miss.hint = "try " + excerpt.Quote(near)
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

// parseNumberRef reads the number of a column, such as "#7".
func parseNumberRef(asked string) (int, bool) {
	digits, ok := strings.CutPrefix(strings.TrimSpace(asked), "#")
	if !ok {
		return 0, false
	}
	number, err := strconv.ParseUint(digits, 10, 31)
	return int(number), err == nil
}

// listColumns names the columns for a message, the first 64 at most.
func (r *resolved) listColumns() string {
	const most = 64
	switch {
	case r.headers == nil && r.columns == 1:
		return "one column and no header"
	case r.headers == nil:
		return fmt.Sprintf("%d columns and no header", r.columns)
	case r.columns == 1:
		return "the column " + excerpt.Quote(r.headers[0]) + " only"
	}
	var list []string
	for _, name := range r.headers[:min(len(r.headers), most)] {
		list = append(list, excerpt.Quote(name))
	}
	text := "the columns " + strings.Join(list, ", ")
	if more := len(r.headers) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// fold removes what does not count when names are compared: case and outer
// spaces.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }
