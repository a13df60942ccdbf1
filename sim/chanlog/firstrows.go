package chanlog

import (
	"fmt"
	"io"
	"math"
	"slices"

	"flicktally/sim"
)

// firstRows holds the time cells of the first rows of a log. They show what the
// header does not: their form, their unit, and whether the clock is coarser
// than the rows.
type firstRows struct {
	times, dates []string
	complete     bool // no rows follow
	comma        bool
	form         timeForm
	numbers      []float64 // the times in the order of the rows, in their form
}

// inspectedRows is how many rows of a log are examined, lookedRows how many of
// a live one that does not name its unit.
const (
	inspectedRows = 64
	lookedRows    = 16
)

// firstRows collects them from the window; ok is false while the window needs
// more data.
func (r *Reader) firstRows(found *resolved) (first firstRows, ok bool) {
	wanted := inspectedRows
	if r.opts.Live {
		wanted = 1
		if found.unit == "" {
			wanted = lookedRows
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
	return r.collect(found, maxLine) // its length may decide
}

// collect collects the wanted number of rows, or the rows in a MiB of the log.
func (r *Reader) collect(found *resolved, wanted int) (first firstRows, ok bool) {
	first.comma = found.comma
	data, split := r.src.window(), splitter{}
	for begin := 0; len(first.times) < wanted && begin < maxLine; {
		rest := data[begin:]
		line := firstLine(rest)
		if !r.src.ended() && (line == 0 || rest[line-1] != '\n') && len(rest) <= maxLine {
			return first, false
		}
		if line == 0 {
			first.complete = r.src.err == io.EOF
			break
		}
		status := split.split(rest[:min(len(rest), maxLine)], found.delim, r.src.ended() || len(rest) > maxLine)
		if status == splitMore {
			return first, false
		}
		if status != splitDone {
			begin += line
			continue
		}
		if split.count >= found.columns-1 && len(split.fields) > max(found.time, found.date) {
			first.add(&split, rest, found)
		}
		begin += split.size
	}
	return first, true
}

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

// settle completes what was found by what the rows show.
func (f *firstRows) settle(found *resolved, opts Options) error {
	f.settleForm(found)
	if found.form.kind != timeNumber || found.unit != "" {
		return nil
	}
	units := f.unitsBySteps()
	if f.step() <= 0 {
		found.unit, found.unitHow, found.form.tick = string(sim.UnitMicros), howAssumed, ticks[sim.UnitMicros]
		return nil
	}
	if len(units) > 1 {
		units = f.unitsByLength(units)
	}
	if len(units) != 1 {
		miss := &misfit{
			found: fmt.Sprintf("rows %.3g apart in %s, which does not name its unit", f.step(), found.columnName(found.time)),
			want:  "a unit that makes them 0.2 ms to 0.5 s apart",
			hint:  `say which unit it is: unit = "us", "ms" or "s" under [log], or --unit`,
		}
		place := found.place
		return miss.at(&place)
	}
	found.unit, found.unitHow, found.form.tick = string(units[0]), howSteps, ticks[units[0]]
	return nil
}

// settleForm determines the form of the times, from the first that can be read.
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
			found.form.order = f.dateOrder(f.dates, found.date >= 0)
			break
		}
		order := f.dateOrder(f.times, true)
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

// measuredUnit returns the unit behind a number.
func measuredUnit(text string) string {
	all := words(text)
	return string(unitWords[all[len(all)-1]])
}

// dateOrder determines the order of day and month.
func (f *firstRows) dateOrder(dates []string, are bool) dateOrder {
	order := dayFirst
	for i, text := range dates {
		d, ok := leadingDate([]byte(text))
		switch {
		case !are || !ok || d.yearFirst:
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

// readNumbers reads the times: numbers unchanged, clocks in µs.
func (f *firstRows) readNumbers(found *resolved) {
	f.form, f.numbers = found.form, f.numbers[:0]
	for i, text := range f.times {
		if f.form.kind == timeNumber {
			if n, ok := parseNumber([]byte(text), f.comma); ok && n.finite() {
				f.numbers = append(f.numbers, n.float([]byte(text)))
			} else if at, ok := f.form.parse([]byte(text), f.comma); ok && f.form.tick.factor > 0 {
				f.numbers = append(f.numbers, float64(at)/float64(max(1, f.form.tick.micros())))
			}
			continue
		}
		at, ok := f.form.parse([]byte(text), f.comma)
		if days, isDate := parseDate([]byte(f.dates[i]), f.form.order); found.date >= 0 && isDate {
			at += days * dayMicros
		}
		if ok {
			f.numbers = append(f.numbers, float64(at))
		}
	}
}

// steps returns the distances between rows in ascending order, leaving out
// those that run backwards.
func (f *firstRows) steps() (steps []float64) {
	for i := 1; i < len(f.numbers); i++ {
		if step := f.numbers[i] - f.numbers[i-1]; step >= 0 {
			steps = append(steps, step)
		}
	}
	slices.Sort(steps)
	return steps
}

// step returns the median step, or the mean one if most are 0.
func (f *firstRows) step() float64 {
	steps := f.steps()
	if len(steps) == 0 {
		return 0
	}
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

// unitsByLength keeps the units that make the log 5 s to 12 h long, as far as its
// length is known.
func (f *firstRows) unitsByLength(units []sim.TimeUnit) []sim.TimeUnit {
	return slices.DeleteFunc(units, func(unit sim.TimeUnit) bool {
		length := f.length() * float64(ticks[unit].micros())
		return length > 12*float64(sim.Hour) || f.complete && length < 5*float64(sim.Second)
	})
}

// leastRow is the least time, in µs, that a coarse clock leaves to each row.
// Rows closer together really came at once.
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
		least *= float64(form.tick.factor) * exactPowers[max(0, form.tick.exponent)] / exactPowers[max(0, -form.tick.exponent)]
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
		return everCounting
	}
	for _, text := range f.times {
		if c, ok := parseClock([]byte(text), f.comma); ok && c.parts == 2 {
			return hourCounter
		}
	}
	return dayCounter
}
