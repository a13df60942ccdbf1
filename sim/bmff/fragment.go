package bmff

import (
	"encoding/binary"
	"math/bits"
	"slices"
)

// fragmentBox reads a box of a fragment.
func (f *file) fragmentBox(b box, m *movie) error {
	if b.kind != "traf" {
		return nil
	}
	var t *track
	var each uint64 // default duration of a sample
	return f.inside(b, func(b box) error {
		var err error
		switch b.kind {
		case "tfhd":
			t, each, err = f.fragmentHeader(b, m)
		case "tfdt":
			err = f.fragmentTime(b, t)
		case "trun":
			err = f.run(b, t, each)
		}
		return err
	})
}

// fragmentHeader returns the track of a fragment and the default duration of
// its samples (§8.8.7).
func (f *file) fragmentHeader(b box, m *movie) (*track, uint64, error) {
	const hasOffset, hasDescription, hasDuration = 0x1, 0x2, 0x8
	_, flags, fields, err := f.fullBox(b, 20)
	number := fields.uint32()
	each := m.defaults[number]
	if flags&hasOffset != 0 {
		fields.skip(8)
	}
	if flags&hasDescription != 0 {
		fields.skip(4)
	}
	if flags&hasDuration != 0 {
		each = uint64(fields.uint32())
	}
	i := slices.IndexFunc(m.tracks, func(t *track) bool { return t.number == number && t.video })
	if i < 0 {
		return nil, each, err
	}
	t := m.tracks[i]
	if !t.fragments { // the first is after the samples of the header
		t.fragments = true
		t.add(t.duration)
	}
	return t, each, err
}

// fragmentTime reads the time at which a fragment starts (§8.8.12). If the header
// has no samples, the first such time is the start of the track.
func (f *file) fragmentTime(b box, t *track) error {
	version, _, fields, err := f.fullBox(b, 8)
	if t == nil || err != nil {
		return err
	}
	t.at = min(fields.sized(version), mostTime)
	if t.end == 0 {
		t.begin = t.at
	}
	return nil
}

// run adds the samples of a run (§8.8.8).
func (f *file) run(b box, t *track, each uint64) error {
	const hasOffset, hasFirstFlags, hasDuration, hasSize, hasFlags, hasShift = 0x1, 0x4, 0x100, 0x200, 0x400, 0x800
	_, flags, fields, err := f.fullBox(b, 4)
	if t == nil || err != nil {
		return err
	}
	samples := uint64(fields.uint32())
	if flags&hasDuration == 0 {
		t.add(samples * each)
		return nil
	}
	at := b.body + 8 + 4*int64(bits.OnesCount32(flags&(hasOffset|hasFirstFlags)))
	size := 4 + 4*int64(bits.OnesCount32(flags&(hasSize|hasFlags|hasShift)))
	return f.addSamples(t, at, min(b.end, at+int64(samples)*size), size)
}

// addSamples adds the durations of samples. Each is at the start of an entry of
// the given size.
func (f *file) addSamples(t *track, at, end, size int64) error {
	const atOnce = 512
	for at+size <= end {
		data, err := f.read(at, atOnce*size, end)
		if err != nil || int64(len(data)) < size {
			return err
		}
		entries := int64(len(data)) / size
		if f.left -= int(entries); f.left < 0 {
			return errTooMany
		}
		for i := range entries {
			t.add(uint64(binary.BigEndian.Uint32(data[i*size:])))
		}
		at += entries * size
	}
	return nil
}

// mostTime is longer than any real length and far from overflow.
const mostTime = 1 << 62

// add adds samples of a given length.
func (t *track) add(length uint64) {
	t.at = min(t.at+min(length, mostTime), mostTime)
	t.end = max(t.end, t.at)
}
