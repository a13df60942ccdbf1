package session

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/mavlink"
	"flicktally/sim/source"
	"flicktally/sim/tell"
)

// status is what the user is told about an input besides its samples.
type status struct {
	trouble string     // with the link, while it lasts
	help    string     // what the user should check while no row arrives
	notice  string     // of the input, while it applies
	news    string     // the latest
	newsAt  sim.Micros // when it was announced
	unread  []string   // news that [Session.News] has not returned yet
	counts  counts
}

// counts is what was left out, and what is read.
type counts struct {
	settled   string // the format that is read, and its sender
	rows      int64  // that could not be read
	late      int64  // rows or frames that were overtaken
	misplaced int64  // rows or frames whose time is far from those before and after
	damaged   int64  // bytes of telemetry that belong to no frame
	strangers strangers
	systems   []mavlink.SystemFrames // that send
	system    uint8                  // the one that is read
}

// newsLasts is how long news is shown.
const newsLasts = 10 * sim.Second

// mostUnread limits the unread news.
const mostUnread = 100

// text counts what was left out; "" if nothing was.
func (c *counts) text() string {
	var parts []string
	for _, of := range []struct {
		n         int64
		one, many string
	}{
		{c.rows, "row left out", "rows left out"},
		{c.late, "came late and was left out", "came late and were left out"},
		{c.misplaced, "with a time far out of place left out", "with times far out of place left out"},
		{c.damaged, "damaged byte", "damaged bytes"},
	} {
		if of.n > 0 {
			parts = append(parts, tell.Counted(int(of.n), of.one, of.many))
		}
	}
	if text := othersText(c.systems, c.system); text != "" {
		parts = append(parts, text)
	}
	if text := c.strangers.text(); text != "" {
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}

// Notice returns what is wrong with the record or the input, what the user should
// check, or else recent news; it may be "".
func (s *Session) Notice() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch st := &s.status; {
	case s.unkept != nil:
		return s.unkept.Error()
	case s.failure != nil:
		return s.failure.Error()
	case st.trouble != "":
		return st.trouble
	case st.help != "":
		return st.help
	case st.notice != "":
		return st.notice
	case st.news != "" && s.clock()-st.newsAt < newsLasts:
		return st.news
	}
	return ""
}

// About returns the format that is read and its sender, and counts what was left
// out.
func (s *Session) About() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	text := s.status.counts.settled
	if left := s.status.counts.text(); left != "" {
		text += "; " + left
	}
	return strings.TrimPrefix(text, "; ")
}

// News returns the news since the last call, as sentences.
func (s *Session) News() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	news := s.status.unread
	s.status.unread = nil
	return news
}

// announce adds news of the input.
func (s *Session) announce(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.announceLocked(text)
}

func (s *Session) announceLocked(text string) {
	st := &s.status
	st.news, st.newsAt = text, s.clock()
	if len(st.unread) < mostUnread {
		st.unread = append(st.unread, text)
	}
}

// setTrouble sets what is wrong with the link; "" means nothing. Only a change is
// announced.
func (s *Session) setTrouble(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if text != "" && text != s.status.trouble {
		s.announceLocked(text)
	}
	s.status.trouble = text
}

// setHelp sets what the user should check; "" means nothing.
func (s *Session) setHelp(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if text != "" && s.status.help == "" {
		s.announceLocked(text)
	}
	s.status.help = text
}

// notify sets the notice of the input; "" means none.
func (s *Session) notify(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.status.notice = text
}

// count changes what is counted.
func (s *Session) count(change func(*counts)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	change(&s.status.counts)
}

// leaveOutRows counts rows that could not be read, and notes them in the
// record. text shows the first.
func (s *Session) leaveOutRows(n int64, text string) {
	s.count(func(c *counts) {
		if c.rows == 0 {
			s.announceLocked("left out, as it cannot be read: " + text)
		}
		c.rows += n
	})
	s.remark(leftOut{rows: n, first: text})
}

// leaveOutBytes counts damaged bytes of telemetry, and notes them in the record.
func (s *Session) leaveOutBytes(n int64) {
	s.count(func(c *counts) { c.damaged += n })
	s.remark(leftOut{bytes: n})
}

// helpAfter is how long to wait for a row before telling the user what to check.
const helpAfter = 10 * sim.Second

// remind tells the user what to check if no row has arrived for long.
func (r *receiver) remind(now sim.Micros) {
	if r.samples > 0 || now-r.began < helpAfter {
		return
	}
	r.s.setHelp("no row in 10 s: " + r.lack())
}

// lack returns why there is no row.
func (r *receiver) lack() string {
	switch {
	case r.bytes == 0:
		return "nothing received from " + r.name
	case r.settling != nil:
		return fmt.Sprintf("%s from %s are neither CSV nor MAVLink; check the speed of the link and what it sends",
			tell.Counted(int(r.bytes), "byte", "bytes"), r.name)
	case r.rows != nil && r.rows.problem != nil:
		return r.rows.problem.Error()
	case r.sender.kind == source.MAVLink:
		return fmt.Sprintf("MAVLink without a message that has the channel %s; check --channel and --system", r.opts.Source.Spec.Channel)
	default:
		return "what was received has no rows of numbers"
	}
}
