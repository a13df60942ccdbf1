package bitmap

import (
	"encoding/binary"
	"math/bits"
)

// drawPlain draws the map of a text of whole words in plain Go.
func drawPlain(m *Map, text []byte, delim byte) {
	var before Count
	for i := range len(text) / span {
		var delims, ends uint64
		for at := 0; at < span; at += 8 {
			eight := binary.LittleEndian.Uint64(text[i*span+at:])
			delims |= equal(eight, delim) << at
			ends |= (equal(eight, '\n') | equal(eight, '"')) << at
		}
		binary.LittleEndian.PutUint64(m.delims[i*8:], delims)
		binary.LittleEndian.PutUint64(m.ends[i*8:], ends)
		m.before[i] = before
		before += Of(bits.OnesCount64(delims), bits.OnesCount64(ends))
	}
}

const (
	each = 0x0101010101010101
	low7 = each * 0x7f
)

// equal returns a bit for each of eight bytes that equals b: the high bit of
// each byte that differs in nothing, and those bits together by a product in
// which each comes to a place of its own.
func equal(eight uint64, b byte) uint64 {
	x := eight ^ uint64(b)*each
	zero := ^((x&low7 + low7) | x | low7) >> 7
	return zero * 0x0102040810204080 >> 56
}
