package bmff

import (
	"errors"
	"io"
	"math/bits"
	"slices"

	"flicktally/sim"
)

// Header is what the headers of a video file say.
type Header struct {
	// Length is that of the picture; 0 = unknown.
	Length sim.Micros
	// Created is when the file was made, in µs since 1970 by the camera's
	// clock, in whole seconds; 0 = unknown. It is the start or the end of the
	// recording, depending on the camera. Many cameras write local time.
	Created sim.Micros
	// Closed says that the file has its header: the camera finished writing it.
	Closed bool
}

// ErrNoVideo says that a file does not have this format or has no moving
// picture.
var ErrNoVideo = errors.New("no video file (ISO/IEC 14496-12)")

// firstBoxes lists the boxes with which a file can start, those of files older
// than the standard included.
var firstBoxes = []string{"ftyp", "moov", "mdat", "free", "skip", "wide"}

// Read reads the headers of a file of the given size. The error is ErrNoVideo
// or that of the reader.
func Read(r io.ReaderAt, size int64) (Header, error) {
	f := &file{r: r, left: maxReads}
	if first, err := f.next(0, size); err == io.EOF || err == nil && !slices.Contains(firstBoxes, first.kind) {
		return Header{}, ErrNoVideo
	} else if err != nil {
		return Header{}, err
	}
	var m movie
	err := f.each(0, size, func(b box) error { return f.topLevel(b, &m) })
	if err != nil && err != errEnough {
		return Header{}, err
	}
	switch {
	case m.found && m.picture() == nil, !m.found && (!m.data || m.still):
		return Header{}, ErrNoVideo
	case !m.found:
		return Header{}, nil
	}
	return Header{Length: m.length(), Created: m.created, Closed: true}, nil
}

// errEnough ends the walk through a file whose length is known.
var errEnough = errors.New("enough")

// movie has the contents of a file's boxes.
type movie struct {
	found   bool // there is a complete moov
	data    bool // mdat
	still   bool // a still picture, whose header is not in moov
	created sim.Micros

	scale, duration uint64 // mvhd
	fragmented      bool   // mvex
	whole           uint64 // mehd, in scale
	tracks          []*track
	defaults        map[uint32]uint64 // trex: duration of a sample, by track
}

// track is a track with its own time scale.
type track struct {
	number          uint32
	video           bool
	scale, duration uint64
	// begin and end are times of its fragments.
	begin, end, at uint64
	fragments      bool
}

func (f *file) topLevel(b box, m *movie) error {
	switch b.kind {
	case "moov":
		if b.cut || m.found {
			return nil
		}
		m.found, m.defaults = true, map[uint32]uint64{}
		if err := f.inside(b, func(b box) error { return f.movieBox(b, m) }); err != nil {
			return err
		}
		if !m.fragmented || m.whole > 0 {
			return errEnough
		}
	case "moof":
		if m.found && !b.cut {
			return f.inside(b, func(b box) error { return f.fragmentBox(b, m) })
		}
	case "mdat":
		m.data = true
	case "meta":
		m.still = true
	}
	return nil
}

func (f *file) movieBox(b box, m *movie) error {
	switch b.kind {
	case "mvhd":
		version, _, fields, err := f.fullBox(b, 28)
		m.created = since1970(fields.sized(version))
		fields.sized(version) // modification
		m.scale, m.duration = uint64(fields.uint32()), fields.duration(version)
		return err
	case "trak":
		t := &track{}
		m.tracks = append(m.tracks, t)
		return f.inside(b, func(b box) error { return f.trackBox(b, t) })
	case "mvex":
		m.fragmented = true
		return f.inside(b, func(b box) error { return f.extendsBox(b, m) })
	}
	return nil
}

func (f *file) trackBox(b box, t *track) error {
	switch b.kind {
	case "tkhd":
		version, _, fields, err := f.fullBox(b, 20)
		fields.sized(version)
		fields.sized(version)
		t.number = fields.uint32()
		return err
	case "mdia":
		return f.inside(b, func(b box) error { return f.trackBox(b, t) })
	case "mdhd":
		version, _, fields, err := f.fullBox(b, 28)
		fields.sized(version)
		fields.sized(version)
		t.scale, t.duration = uint64(fields.uint32()), fields.duration(version)
		return err
	case "hdlr":
		_, _, fields, err := f.fullBox(b, 8)
		fields.skip(4)
		t.video = string(fields) == "vide"
		return err
	}
	return nil
}

func (f *file) extendsBox(b box, m *movie) error {
	switch b.kind {
	case "mehd":
		version, _, fields, err := f.fullBox(b, 8)
		m.whole = fields.duration(version)
		return err
	case "trex":
		_, _, fields, err := f.fullBox(b, 12)
		number := fields.uint32()
		fields.skip(4)
		m.defaults[number] = uint64(fields.uint32())
		return err
	}
	return nil
}

// picture returns the longest video track; nil if there is none.
func (m *movie) picture() *track {
	var longest *track
	for _, t := range m.tracks {
		if t.video && (longest == nil || t.length() > longest.length()) {
			longest = t
		}
	}
	return longest
}

// length returns the length of the whole; 0 = unknown.
func (m *movie) length() sim.Micros {
	if whole := inMicros(m.whole, m.scale); whole > 0 {
		return whole
	}
	if length := m.picture().length(); length > 0 {
		return length
	}
	return inMicros(m.duration, m.scale)
}

// length returns the length of the track; 0 = unknown.
func (t *track) length() sim.Micros {
	if t.fragments {
		return inMicros(max(t.end, t.begin)-t.begin, t.scale)
	}
	return inMicros(t.duration, t.scale)
}

// inMicros turns a duration into µs; 0 if it is not plausible.
func inMicros(duration, scale uint64) sim.Micros {
	high, low := bits.Mul64(duration, 1e6)
	if scale == 0 || high >= scale {
		return 0
	}
	us, _ := bits.Div64(high, low, scale)
	if us > uint64(sim.MaxDuration) {
		return 0
	}
	return sim.Micros(us)
}

// since1970 turns seconds since 1904 (§8.2.2) into µs since 1970; 0 if that is not
// plausible.
func since1970(seconds uint64) sim.Micros {
	const from1904, most = 2_082_844_800, 1 << 35 // beyond the year 2900
	if seconds == 0 || seconds > most {
		return 0
	}
	return (sim.Micros(seconds) - from1904) * sim.Second
}
