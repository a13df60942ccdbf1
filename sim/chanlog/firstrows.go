package chanlog

import (
	"fmt"
	"io"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/problem"
)

// firstRows has the time cells of the first rows of a log. They show what the
// header does not: their form and unit, and whether the clock is coarser than
// the rows.
type firstRows struct {
	times, dates []string
	complete     bool // no rows follow
	comma        bool
	form         timeForm
	numbers      []float64 // the times in the order of the rows, in their form
}

// How many rows are examined, of a file and of a live log whose unit is unknown.
const (
	inspectedRows     = 64
	inspectedLiveRows = 16
)

// firstRows collects the first rows from the window. ok is false if it needs
// more data.
func (r *Reader) firstRows(found *resolved) (first firstRows, ok bool) {
	wanted := inspectedRows
	if r.opts.Live {
		wanted = 1
		if found.unit == "" {
			wanted = inspectedLiveRows
		}
	}
	first, ok = r.collect(found, wanted)
	if !ok || r.opts.Live || found.unit != "" {
		return first, ok
	}
	tried := *found
	if first.settleForm(&tried); tried.form.kind != timeNumber || tried.unit != "" || len(first.unitsBySteps()) < 2 {
		return first, ok
	}
	return r.collect(found, maxLine) // the length of the log may settle its unit
}

// collect collects the wanted number of rows, or those in the first MiB.
func (r *Reader) collect(found *resolved, wanted int) (first firstRows, ok bool) {
	first.comma = found.comma
	data, split := r.src.window(), splitter{}
	for begin := 0; len(first.times) < wanted && begin < maxLine; {
		rest := data[begin:]
		line := firstLine(rest)
		final := r.src.ended() || len(rest) > maxLine
		if !final && (line == 0 || rest[line-1] != '\n') {
			return first, false
		}
		if line == 0 {
			first.complete = r.src.err == io.EOF
			break
		}
		switch split.split(rest[:min(len(rest), maxLine)], found.delim, final) {
		case splitMore:
			return first, false
		case splitDone:
			if split.count >= found.columns-1 && len(split.fields) > max(found.time, found.date) {
				first.add(&split, rest, found)
			}
			line = split.size
		}
		begin += line
	}
	return first, true
}

// add adds the cells of a row; it ignores a header.
func (f *firstRows) add(split *splitter, record []byte, found *resolved) {
	time := string(split.text(record, found.time))
	if time == "" || found.names != nil && fold(time) == found.names[found.time] {
		return
	}
	f.times = append(f.times, time)
	next := found.date
	if found.names == nil && next < 0 && found.time == 0 && found.timeHow == howPosition {
		next = 1 // it may turn out to be the clock
	}
	date := ""
	if next >= 0 && next < len(split.fields) {
		date = string(split.text(record, next))
	}
	f.dates = append(f.dates, date)
}

// settle completes the result of the search by what the rows show.
func (f *firstRows) settle(found *resolved) error {
	f.settleForm(found)
	if found.form.kind != timeNumber || found.unit != "" {
		return nil
	}
	if f.step() <= 0 {
		found.setUnit(sim.UnitMicros, howAssumed)
		return nil
	}
	units := f.unitsBySteps()
	if len(units) > 1 {
		units = f.unitsByLength(units)
	}
	if len(units) != 1 {
		e := found.place
		e.Found = fmt.Sprintf("rows %.3g apart in %s, which does not name its unit", f.step(), found.columnName(found.time))
		e.Want = "a unit that makes them 0.2 ms to 0.5 s apart"
		return problem.Hinted(&e, `say which unit it is: unit = "us", "ms" or "s" under [log], or --unit`)
	}
	found.setUnit(units[0], howSteps)
	return nil
}

func (r *resolved) setUnit(unit sim.TimeUnit, how How) {
	r.unit, r.unitHow, r.form.tick = string(unit), how, ticks[unit]
}

// settleForm determines the form of the times from the first that can be read.
func (f *firstRows) settleForm(found *resolved) {
	f.findDates(found)
	for i, text := range f.times {
		time := []byte(text)
		if _, ok := parseNumber(time, f.comma); ok {
			if found.timeByWord {
				found.date = -1 // a time in numbers needs none
			}
			break
		}
		if _, t, ok := parseMeasured(time, f.comma); ok {
			if found.unit == "" {
				found.unit, found.unitHow, found.form.tick = measuredUnit(text), howContent, t
			}
			break
		}
		if _, ok := parseClock(time, f.comma); ok {
			found.form.kind = timeClock
			if found.date >= 0 {
				found.form.order = orderOf(f.dates)
			}
			break
		}
		order := orderOf(f.times)
		if _, ok := parseDated(time, order, f.comma); ok {
			found.form, found.date = timeForm{kind: timeDated, order: order}, -1
			break
		}
		if i == len(f.times)-1 && found.form.kind == timeNumber && found.date >= 0 {
			found.form.kind = timeClock
		}
	}
	f.readNumbers(found)
}

// findDates recognises date and time in the first two columns of a log without
// a header.
func (f *firstRows) findDates(found *resolved) {
	if found.names != nil || found.date >= 0 || len(f.times) == 0 {
		return
	}
	_, isDate := parseDate([]byte(f.times[0]), orderOpen)
	_, isClock := parseClock([]byte(f.dates[0]), f.comma)
	if isDate && isClock && found.channel > 1 {
		found.date, found.time = 0, 1
		f.times, f.dates = f.dates, f.times
	}
}

// measuredUnit returns the unit after a number.
func measuredUnit(text string) string {
	all := words(text)
	return string(unitWords[all[len(all)-1]])
}

// orderOf determines the order of day and month in dates.
func orderOf(dates []string) dateOrder {
	order := dayFirst
	for i, text := range dates {
		d, ok := leadingDate([]byte(text))
		switch {
		case !ok || d.yearFirst:
		case d.numbers[0] > 12:
			return dayFirst
		case d.numbers[1] > 12:
			return monthFirst
		case i == 0 && d.mark == '/':
			order = orderOpen
		}
	}
	return order
}

// readNumbers reads the times: numbers in their unit, clocks in µs.
func (f *firstRows) readNumbers(found *resolved) {
	f.form, f.numbers = found.form, f.numbers[:0]
	for i, text := range f.times {
		v, isNumber := parseFloat([]byte(text), f.comma)
		at, ok := f.form.parse([]byte(text), f.comma)
		switch {
		case f.form.kind != timeNumber:
			if days, isDate := parseDate([]byte(f.dates[i]), f.form.order); found.date >= 0 && isDate {
				at += days * dayMicros
			}
			v = float64(at)
		case isNumber:
			ok = !math.IsNaN(v) && !math.IsInf(v, 0)
		default:
			v, ok = float64(at)/float64(max(1, f.form.tick.micros())), ok && f.form.tick.factor > 0
		}
		if ok {
			f.numbers = append(f.numbers, v)
		}
	}
}

// step returns the median time between rows, or the mean one if most are 0. It
// ignores times that run backwards.
func (f *firstRows) step() float64 {
	var steps []float64
	for i := 1; i < len(f.numbers); i++ {
		if step := f.numbers[i] - f.numbers[i-1]; step >= 0 {
			steps = append(steps, step)
		}
	}
	if len(steps) == 0 {
		return 0
	}
	slices.Sort(steps)
	if middle := steps[len(steps)/2]; middle > 0 || steps[len(steps)-1] == 0 {
		return middle
	}
	return f.length() / float64(len(f.numbers)-1)
}

func (f *firstRows) length() float64 { return f.numbers[len(f.numbers)-1] - f.numbers[0] }

// unitsBySteps returns the units that make the rows 0.2 ms to 0.5 s apart.
// Numbers in ns are recognised by their size, that of Unix times of this
// century.
func (f *firstRows) unitsBySteps() (units []sim.TimeUnit) {
	step := f.step()
	candidates := map[sim.TimeUnit]float64{sim.UnitMicros: 1, sim.UnitMillis: 1e3, sim.UnitSeconds: 1e6}
	if len(f.numbers) > 0 && f.numbers[0] > 9.4e17 && f.numbers[0] < 4.1e18 {
		candidates = map[sim.TimeUnit]float64{sim.UnitNanos: 1e-3}
	}
	for _, unit := range sim.TimeUnits {
		if micros, ok := candidates[unit]; ok && step*micros >= 200 && step*micros <= 500e3 {
			units = append(units, unit)
		}
	}
	return units
}

// unitsByLength keeps the units that make the log 5 s to 12 h long; if more rows
// follow, at most 12 h.
func (f *firstRows) unitsByLength(units []sim.TimeUnit) []sim.TimeUnit {
	return slices.DeleteFunc(units, func(unit sim.TimeUnit) bool {
		length := f.length() * float64(ticks[unit].micros())
		return length > 12*float64(sim.Hour) || f.complete && length < 5*float64(sim.Second)
	})
}

// leastRow is the least time, in µs, between the rows of a coarse clock. Rows
// closer together really came at once.
const leastRow = 10

// coarse returns the step of a clock coarser than the rows: most rows share
// their instant with the row before or after. It is 0 for any other clock.
func (f *firstRows) coarse(form timeForm) sim.Micros {
	const fewest = 5
	at, rows := f.numbers, len(f.numbers)
	alone, steps, least := 0, 0, math.Inf(1)
	for i := range at {
		before, after := i > 0 && at[i-1] == at[i], i+1 < rows && at[i+1] == at[i]
		if !before && !after {
			alone++
		}
		if i > 0 && at[i] > at[i-1] {
			steps++
			least = min(least, at[i]-at[i-1])
		}
	}
	if form.kind == timeNumber {
		least *= float64(form.tick.factor) * math.Pow10(max(0, form.tick.exponent)) / math.Pow10(max(0, -form.tick.exponent))
	}
	if rows < fewest || 2*alone >= rows || steps == 0 || least*float64(steps+1) < leastRow*float64(rows) {
		return 0
	}
	return sim.Micros(min(least, float64(sim.AheadBy)))
}

// counter returns the counter that the time may wrap.
func (f *firstRows) counter(l *layout) counter {
	switch {
	case l.form.kind == timeNumber && l.form.tick == (tick{1, 0}):
		return counter32
	case l.form.kind == timeNumber, l.form.order != orderOpen && (l.form.kind == timeDated || l.date >= 0):
		return neverWraps
	}
	for _, text := range f.times {
		if c, ok := parseClock([]byte(text), f.comma); ok && c.parts == 2 {
			return hourCounter
		}
	}
	return dayCounter
}
