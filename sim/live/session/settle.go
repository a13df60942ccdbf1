package session

import (
	"bytes"
	"cmp"
	"fmt"
	"net"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/mavlink"
	"flicktally/sim/source"
	"flicktally/sim/tell"
)

// settling collects the first data of a link to decide on the format and the
// sender, so that a single stray frame or datagram does not.
type settling struct {
	lasts sim.Micros // how long
	opts  source.Options
	first sim.Micros // when the first of them arrived
	came  []arrival
	bytes int // in came
	heard int // arrivals examined so far
}

// mostHeard is the most bytes that are kept until the decision.
const mostHeard = 256 << 10

// heard is what was heard from a sender.
type heard struct {
	from string // an address, or only the host if its port changes
	what source.Heard
}

func (t *settling) add(now sim.Micros, a arrival) {
	if len(t.came) == 0 {
		t.first = now
	}
	t.came = append(t.came, a)
	t.bytes += len(a.data)
}

// decide returns what was heard most, once the time is over or there is enough
// data. At the end the default is CSV, whose reader reports the error.
func (t *settling) decide(now sim.Micros, final bool) (heard, bool) {
	if len(t.came) == 0 {
		return heard{what: source.Heard{Kind: source.CSV}}, final
	}
	due := now-t.first >= t.lasts || t.bytes >= mostHeard
	if !due && !final && !t.unmistakable() {
		return heard{}, false
	}
	if t.heard == len(t.came) && !final {
		return heard{}, false // nothing new to listen to
	}
	t.heard = len(t.came)
	best := t.best()
	if best.what.Count > 0 || final {
		return best, true
	}
	t.forget()
	return heard{}, false
}

// unmistakable reports whether the first bytes identify the format, and nothing
// else has to be measured, such as the rate of telemetry.
func (t *settling) unmistakable() bool {
	a := t.came[0]
	if a.rows || t.heard > 0 {
		return false
	}
	h := source.Hear(a.data, t.opts)
	return h.Whole && h.Count > 0 && h.Kind != source.MAVLink
}

// forget drops the oldest arrivals if there is much data and no format in it.
func (t *settling) forget() {
	for t.bytes > mostHeard {
		t.bytes -= len(t.came[0].data)
		t.came = t.came[1:]
		t.heard--
	}
}

// best returns the sender heard most; the first of equals. A host that sends from
// ever-changing ports is one sender.
func (t *settling) best() heard {
	all := t.census(func(a arrival) string { return a.from })
	best := slices.MaxFunc(all, func(a, b heard) int { return cmp.Compare(a.what.Count, b.what.Count) }) // of equals, the first
	host := hostOf(best.from)
	of := 0
	for _, h := range all {
		if hostOf(h.from) == host && h.what.Kind == best.what.Kind {
			of += h.what.Count
		}
	}
	if best.what.Count*2 >= of {
		return best
	}
	for _, h := range t.census(func(a arrival) string { return hostOf(a.from) }) {
		if h.from == host {
			return h
		}
	}
	return best
}

// census returns what was heard from each sender, in order of the first arrival.
func (t *settling) census(key func(arrival) string) []heard {
	pieces := map[string]*bytes.Buffer{}
	var order []string
	for _, a := range t.came {
		from := key(a)
		if pieces[from] == nil {
			pieces[from] = &bytes.Buffer{}
			order = append(order, from)
		}
		pieces[from].Write(a.data)
		if a.rows && !bytes.HasSuffix(a.data, []byte("\n")) {
			pieces[from].WriteByte('\n')
		}
	}
	var out []heard
	for _, from := range order {
		out = append(out, heard{from, source.Hear(pieces[from].Bytes(), t.opts)})
	}
	return out
}

// of returns the arrivals from a sender, others those from others.
func (t *settling) of(h heard) []arrival {
	return slices.DeleteFunc(slices.Clone(t.came), func(a arrival) bool { return !h.sent(a) })
}

func (t *settling) others(h heard) []arrival {
	return slices.DeleteFunc(slices.Clone(t.came), h.sent)
}

func (h heard) sent(a arrival) bool { return a.from == h.from || hostOf(a.from) == h.from }

// text describes the format and the sender.
func (h heard) text(system uint8) string {
	var text string
	switch h.what.Kind {
	case source.MAVLink:
		text = "MAVLink"
		if system != 0 {
			text += fmt.Sprintf(" of system %d", system)
		}
	case source.VCD:
		text = "a waveform"
	default:
		text = "CSV"
	}
	if h.from != "" {
		text += " from " + h.from
	}
	return text
}

// sender is the sender whose data is read.
type sender struct {
	address string
	kind    source.Kind
	opts    source.Options
	last    sim.Micros // its latest arrival
}

// adoptAfter is the silence after which another port of the same host is accepted,
// as its program may have restarted.
const adoptAfter = 3 * sim.Second

// sends reports whether data comes from the sender.
func (s *sender) sends(now sim.Micros, a arrival) bool {
	if a.from != s.address && hostOf(a.from) != s.address {
		moved := hostOf(a.from) == hostOf(s.address) && now-s.last >= adoptAfter && source.Hear(a.piece(), s.opts).Kind == s.kind
		if !moved {
			return false
		}
		s.address = a.from
	}
	s.last = now
	return true
}

// piece returns the data, with a line end after the last row.
func (a arrival) piece() []byte {
	if a.rows {
		return append(slices.Clip(a.data), '\n')
	}
	return a.data
}

// hostOf returns the host of an address with a port.
func hostOf(address string) string {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return address
	}
	return host
}

// strangers counts the datagrams of other senders.
type strangers struct {
	count map[string]int
	order []string
}

// mostNamed is how many other senders are named.
const mostNamed = 8

func (s *strangers) add(a arrival) {
	if s.count == nil {
		s.count = map[string]int{}
	}
	name := "others"
	if s.count[a.from] > 0 || len(s.order) < mostNamed {
		name = a.from
	}
	if s.count[name] == 0 {
		s.order = append(s.order, name)
	}
	s.count[name]++
}

// text lists them; "" if there are none.
func (s *strangers) text() string {
	var parts []string
	for _, name := range s.order {
		parts = append(parts, fmt.Sprintf("%s from %s", tell.Counted(s.count[name], "datagram", "datagrams"), name))
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, ", ") + " left out"
}

// othersText lists the systems that send besides one; "" if there are none.
func othersText(systems []mavlink.SystemFrames, but uint8) string {
	var parts []string
	for _, of := range systems {
		if of.System != but && len(parts) < mostNamed {
			parts = append(parts, fmt.Sprintf("%s of system %d", tell.Counted(of.Frames, "frame", "frames"), of.System))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, ", ") + " left out"
}
