package term

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"

	"flicktally/sim"
)

// Terminals report keys as bytes, by default without repeats and releases. Two
// published protocols add these. This file reads both:
//
//   - progressive enhancement: CSI code ; modifiers : event u, with event 1 for a
//     press, 2 for a repeat and 3 for a release. A program turns it on and off by
//     pushing and popping flags, and can ask for the current flags.
//   - the console's form: CSI key ; scan ; character ; down ; state ; count _, which
//     the screen library requests as private mode 9001.
//
// The screen library decodes only presses. So the terminal's input is rewritten to
// presses, and the stamp of each key says what it really was.

// KeyKind is what happened to a key.
type KeyKind uint8

// What can happen to a key. A terminal that reports only presses reports repeats
// as presses too.
const (
	KeyPressed KeyKind = iota
	KeyRepeated
	KeyReleased
)

const (
	// wantReleases turns on reports of repeats and releases; dropReleases
	// restores the former setting. Keys that make text report them only if all
	// keys come as sequences, with their text (flags 1, 2, 8 and 16).
	wantReleases = "\x1b[>27u"
	dropReleases = "\x1b[<u"
	// askReleases asks for the settings of both protocols, and then for the
	// attributes that every terminal reports (DA1): a terminal that answers
	// this first knows neither protocol.
	askReleases = "\x1b[?u" + "\x1b[?9001$p" + "\x1b[c"
)

// releasesOfText are the flags without which the space bar reports no release.
const releasesOfText = 2 | 8

// keyReader rewrites what a terminal sends.
type keyReader struct {
	stamp  func(key byte, kind KeyKind) // called for every key of one byte
	answer func(releases bool)          // called for every answer to askReleases
	paired func()                       // called if a release follows each press at once, so means nothing

	state    readState
	sequence []byte // as much of a sequence as has been read
	torn     bool   // its escape has been passed on already
	tornAt   sim.Micros
	at       sim.Micros         // time of the current read
	down     map[int]sim.Micros // since when
	releases releaseTrust
	out      []byte
}

// releaseTrust says whether the releases in the console's form are real: a console
// that gets its keys from a terminal sends one right after every press. The first
// character typed decides.
type releaseTrust uint8

const (
	releasesUntried releaseTrust = iota
	releasesTrue
	releasesPaired
)

type readState uint8

const (
	readKeys readState = iota
	readEscape
	readSequence
)

const (
	// longestSequence is longer than the sequence of any key.
	longestSequence = 64
	// escapeAlone is the time after an escape from which the next byte is
	// another key.
	escapeAlone = 50 * sim.Millisecond
)

// read returns the bytes for the decoder, given a chunk from the terminal.
func (k *keyReader) read(at sim.Micros, chunk []byte) []byte {
	k.out, k.at = k.out[:0], at
	if k.state == readEscape && at-k.tornAt > escapeAlone {
		k.state = readKeys
	}
	for _, b := range chunk {
		switch {
		case b == 0x1b:
			k.pass()
			k.sequence, k.torn, k.state = append(k.sequence, b), false, readEscape
		case k.state == readKeys, k.state == readEscape && k.torn && b != '[':
			k.state = readKeys
			k.key(b, KeyPressed)
		case k.state == readEscape && b == '[':
			k.sequence, k.state = append(k.sequence, b), readSequence
		case k.state == readSequence && b >= 0x20 && b < 0x40 && len(k.sequence) < longestSequence:
			k.sequence = append(k.sequence, b)
		case k.state == readSequence && b >= 0x40 && b < 0x7f:
			k.finish(b)
		default:
			k.sequence = append(k.sequence, b)
			k.pass()
		}
	}
	if k.state == readEscape { // pass it on now: it may be the escape key alone
		k.out, k.sequence, k.torn = append(k.out, k.sequence...), k.sequence[:0], true
		k.tornAt = at
	}
	return k.out
}

// key passes on a key of one byte.
func (k *keyReader) key(b byte, kind KeyKind) {
	k.out = append(k.out, b)
	if b < 0x80 {
		k.stamp(b, kind)
	}
}

func (k *keyReader) pass() {
	k.out = append(k.out, k.sequence...)
	k.sequence, k.state = k.sequence[:0], readKeys
}

// drop drops the sequence. If its escape has been passed on, the decoder gets a
// sequence without meaning.
func (k *keyReader) drop() {
	if k.torn {
		k.out = append(k.out, "[u"...)
	}
	k.sequence, k.state = k.sequence[:0], readKeys
}

// finish handles a sequence, given its last byte.
func (k *keyReader) finish(final byte) {
	_, text, _ := bytes.Cut(k.sequence, []byte("["))
	params := string(text)
	switch {
	case strings.HasPrefix(params, "?") && strings.IndexByte("ucy", final) >= 0:
		k.takeAnswer(params[1:], final)
		k.drop()
	case final == 'u':
		k.enhanced(params)
	case final == '_':
		k.console(params)
	default:
		k.function(params, final)
	}
}

// takeAnswer handles an answer to askReleases.
func (k *keyReader) takeAnswer(params string, final byte) {
	switch final {
	case 'u':
		if flags, _ := strconv.Atoi(params); flags&releasesOfText == releasesOfText {
			k.answer(true)
		}
	case 'y':
		if mode, _ := strings.CutSuffix(params, "$"); mode == "9001;1" {
			k.answer(true)
		}
	case 'c':
		k.answer(false)
	}
}

// numbers parses parameters and their subparameters; missing ones are 0.
func numbers(params string) (n [6][2]int) {
	for i, field := range strings.SplitN(params, ";", len(n)) {
		first, second, _ := strings.Cut(field, ":")
		n[i][0], _ = strconv.Atoi(first)
		n[i][1], _ = strconv.Atoi(second)
	}
	return n
}

// The modifiers of progressive enhancement, less 1. All but shift and the locks
// turn a letter into another key.
const (
	modShift  = 1
	modOthers = 2 | 4 | 8 | 16 | 32
)

// The codes of keys that do nothing alone, such as shift.
const (
	firstLoneKey = 57441
	lastLoneKey  = 57454
)

// kindOf returns the meaning of an event number of progressive enhancement.
func kindOf(event int) KeyKind { return KeyKind(max(1, min(event, 3)) - 1) }

func printable(code int) bool { return code >= ' ' && code < 0x7f }

// enhanced handles a key by progressive enhancement. The character comes from its
// text or, without one, as in a release, from its code.
func (k *keyReader) enhanced(params string) {
	n := numbers(params)
	code, kind, mods, text := n[0][0], kindOf(n[1][1]), max(n[1][0], 1)-1, n[2][0]
	switch {
	case code >= firstLoneKey && code <= lastLoneKey, kind == KeyReleased && !printable(code):
		k.drop()
	case kind == KeyReleased:
		k.drop()
		k.key(byte(code), kind)
	case mods&modOthers == 0 && printable(text):
		k.drop()
		k.key(byte(text), kind)
	case mods&modOthers == 0 && text > 0x7f:
		k.drop()
		k.out = utf8.AppendRune(k.out, rune(text))
	case mods&modOthers == 0 && printable(code) && (mods&modShift == 0 || code == ' '):
		k.drop()
		k.key(byte(code), kind)
	default:
		k.function(params, 'u')
	}
}

// function passes on a key that is not a character, without its event number, which
// the decoder does not know.
func (k *keyReader) function(params string, final byte) {
	rest, event, has := strings.Cut(params, ":")
	if !has || strings.Count(rest, ";") != 1 {
		k.sequence = append(k.sequence, final)
		k.pass()
		return
	}
	number, _, _ := strings.Cut(event, ";")
	n, _ := strconv.Atoi(number)
	if kindOf(n) == KeyReleased {
		k.drop()
		return
	}
	k.sequence = append(k.sequence[:bytes.IndexByte(k.sequence, '[')+1], rest...)
	k.sequence = append(k.sequence, final)
	k.pass()
}

// consoleModifiers are ctrl and alt, either side.
const consoleModifiers = 0x0f

// console handles a key in the console's form, in which a repeat is a press of a
// key that is down.
func (k *keyReader) console(params string) {
	n := numbers(params)
	key, character, down, state := n[0][0], n[2][0], n[3][0] != 0, n[4][0]
	text := printable(character)
	kind := k.consoleKind(key, down, text)
	if key == 0 || !text || state&consoleModifiers != 0 && down {
		k.sequence = append(k.sequence, '_')
		k.pass()
		return
	}
	k.drop()
	if kind != KeyReleased || k.releases == releasesTrue {
		k.key(byte(character), kind)
	}
}

// consoleKind returns what happened to a key, and remembers which keys are down.
func (k *keyReader) consoleKind(key int, down, text bool) KeyKind {
	since, was := k.down[key]
	untried := k.releases == releasesUntried && was && text
	switch {
	case down && was:
		return KeyRepeated
	case down:
		if k.down == nil {
			k.down = map[int]sim.Micros{}
		}
		k.down[key] = k.at
		return KeyPressed
	case untried && k.at == since:
		k.releases = releasesPaired
		k.paired()
	case untried:
		k.releases = releasesTrue
	}
	delete(k.down, key)
	return KeyReleased
}
