package history

import (
	"bytes"
	"hash/crc32"
	"strconv"
	"unicode/utf8"

	"flicktally/sim"
)

// quickReader reads the lines of flicks and trials, which are most of a journal,
// without the parts that a summary lacks. It is five times as fast as decode, but
// reads only lines as encode writes them, and leaves all others to decode. Equal texts
// are stored once.
type quickReader struct {
	line  []byte // the rest to read
	wrong bool   // it is not as encode writes it

	texts   map[string]string // interned
	context []byte            // the fields before the part of the previous line
	begins  record            // their values

	flickPart flickPart // of the current line
	trialPart trialPart
}

// mostTexts limits the interned texts, which are verdicts, effects, kinds and outcomes.
const mostTexts = 1000

// Starts of lines.
const (
	flickMark = `{"schema":1,"type":"flick"`
	trialMark = `{"schema":1,"type":"trial"`
)

// read returns the same as decode and then brief; ok is false if it cannot read the
// line.
func (q *quickReader) read(line []byte) (r record, ok bool) {
	at := len(line) - len(sumMark) - len(`01234567"}`)
	if at < 0 || string(line[at:at+len(sumMark)]) != sumMark || string(line[len(line)-2:]) != `"}` {
		return r, false
	}
	sum, err := strconv.ParseUint(string(line[at+len(sumMark):len(line)-2]), 16, 32)
	if err != nil || crc32.ChecksumIEEE(line[:at]) != uint32(sum) {
		return r, false
	}
	q.line, q.wrong = line[:at], false
	switch {
	case q.have(flickMark):
		r = q.beginning()
		r.Type, r.Flick = typeFlick, q.flick()
	case q.have(trialMark):
		r = q.beginning()
		r.Type, r.Trial = typeTrial, q.trial()
	default:
		return r, false
	}
	return r, !q.wrong && len(q.line) == 0
}

// beginning reads the fields common to all lines of a drill.
func (q *quickReader) beginning() record {
	if len(q.context) > 0 && bytes.HasPrefix(q.line, q.context) {
		q.line = q.line[len(q.context):]
		return q.begins
	}
	whole := q.line
	r := record{Schema: schema}
	textAt(q, `,"drill":`, &r.Drill)
	textAt(q, `,"device":`, &r.Device)
	textAt(q, `,"rig":`, &r.RigName)
	textAt(q, `,"rig_hash":`, &r.RigHash)
	textAt(q, `,"version":`, &r.Version)
	numberAt(q, `,"resolution_us":`, &r.Resolution)
	q.want(`,`) // or the number might go on
	if !q.wrong {
		q.context = append(q.context[:0], whole[:len(whole)-len(q.line)]...)
		q.begins = r
	}
	return r
}

func (q *quickReader) flick() *flickPart {
	p := &q.flickPart
	*p = flickPart{}
	q.want(`"flick":{`)
	numberAt(q, `"n":`, &p.N)
	numberAt(q, `,"run":`, &p.Run)
	p.Cold = q.have(`,"cold":true`)
	numberAt(q, `,"down_us":`, &p.Down)
	numberAt(q, `,"up_us":`, &p.Up)
	textAt(q, `,"verdict":`, &p.Verdict)
	maybe(q, `,"effect":`, &p.Effect, textAt)
	numberAt(q, `,"seen_us":`, &p.Seen)
	numberAt(q, `,"margin_us":`, &p.Margin)
	p.TooClose = q.have(`,"too_close":true`)
	p.Unsure = q.have(`,"unsure":true`)
	maybe(q, `,"wait_us":`, &p.Wait, numberAt)
	maybe(q, `,"took_us":`, &p.Took, numberAt)
	q.list(`,"moves":[`, q.move)
	q.list(`,"presses":[`, q.press)
	q.want(`}`)
	return p
}

func (q *quickReader) move() {
	var m movePart
	var value int64
	numberAt(q, `{"at_us":`, &m.At)
	numberAt(q, `,"value":`, &value)
	if q.have(`.`) {
		q.wrong = q.digits() == 0 || q.wrong
	}
	q.want(`}`)
	q.wrong = q.wrong || !inDrill(m.At)
}

func (q *quickReader) press() {
	var p pressPart
	var acts sim.Micros
	numberAt(q, `{"n":`, &p.N)
	numberAt(q, `,"down_us":`, &p.Down)
	numberAt(q, `,"up_us":`, &p.Up)
	numberAt(q, `,"effect_us":`, &p.Effect)
	textAt(q, `,"verdict":`, &p.Verdict)
	maybe(q, `,"acts_us":`, &acts, numberAt)
	textAt(q, `,"state_at":`, &p.StateAt)
	textAt(q, `,"state_after":`, &p.StateAfter)
	q.want(`}`)
}

func (q *quickReader) trial() *trialPart {
	p := &q.trialPart
	*p = trialPart{}
	q.want(`"trial":{`)
	numberAt(q, `"n":`, &p.N)
	textAt(q, `,"kind":`, &p.Kind)
	numberAt(q, `,"level":`, &p.Level)
	numberAt(q, `,"began_us":`, &p.Began)
	numberAt(q, `,"ended_us":`, &p.Ended)
	maybe(q, `,"result":`, &p.Outcome, textAt)
	p.Right = q.flag(`,"right":`)
	p.Within = q.flag(`,"within":`)
	p.Uncounted = q.have(`,"uncounted":true`)
	p.Cold = q.have(`,"cold":true`)
	p.Scored = q.have(`,"scored":true`)
	maybe(q, `,"off_us":`, &p.Off, numberAt)
	maybe(q, `,"tolerance_us":`, &p.Tolerance, numberAt)
	p.Top = q.have(`,"top":true`)
	q.want(`,"words":`)
	q.quoted()
	q.want(`}`)
	return p
}

// have reports whether a text follows, and skips it.
func (q *quickReader) have(text string) bool {
	if len(q.line) < len(text) || string(q.line[:len(text)]) != text {
		return false
	}
	q.line = q.line[len(text):]
	return true
}

func (q *quickReader) want(text string) {
	q.wrong = !q.have(text) || q.wrong
}

func (q *quickReader) flag(name string) bool {
	q.want(name)
	yes := q.have(`true`)
	if !yes {
		q.want(`false`)
	}
	return yes
}

// list reads a list; name includes its opening bracket.
func (q *quickReader) list(name string, item func()) {
	q.want(name)
	for empty := q.have(`]`); !empty && !q.wrong; {
		item()
		if !q.have(`,`) {
			q.want(`]`)
			return
		}
	}
}

// maybe reads an optional field.
func maybe[T any](q *quickReader, name string, v *T, read func(*quickReader, string, *T)) {
	if len(q.line) >= len(name) && string(q.line[:len(name)]) == name {
		read(q, name, v)
	}
}

// numberAt reads a whole number of up to 18 digits.
func numberAt[T ~int | ~int64](q *quickReader, name string, v *T) {
	q.want(name)
	negative := q.have(`-`)
	text := q.line
	text = text[:q.digits()]
	if len(text) == 0 || len(text) > 18 || len(text) > 1 && text[0] == '0' {
		q.wrong = true
		return
	}
	var n int64
	for _, digit := range text {
		n = 10*n + int64(digit-'0')
	}
	if negative {
		n = -n
	}
	*v = T(n)
}

// digits skips digits and returns their number.
func (q *quickReader) digits() int {
	n := 0
	for n < len(q.line) && q.line[n]-'0' <= 9 {
		n++
	}
	q.line = q.line[n:]
	return n
}

// textAt reads a text.
func textAt[T ~string](q *quickReader, name string, v *T) {
	q.want(name)
	text := q.quoted()
	known, ok := q.texts[string(text)]
	if !ok {
		if len(q.texts) >= mostTexts {
			clear(q.texts)
		}
		known = string(text)
		q.texts[known] = known
	}
	*v = T(known)
}

// quoted returns a text in quotes, in which nothing is escaped.
func (q *quickReader) quoted() []byte {
	q.want(`"`)
	end := bytes.IndexByte(q.line, '"')
	if q.wrong || end < 0 {
		q.wrong = true
		return nil
	}
	text := q.line[:end]
	q.line = q.line[end+1:]
	for _, b := range text {
		q.wrong = q.wrong || b < ' ' || b == '\\'
	}
	q.wrong = q.wrong || !utf8.Valid(text)
	return text
}
