// Package bmfftest makes the headers of video files for tests
// (ISO/IEC 14496-12). The files have no picture that a player could show.
package bmfftest

import (
	"encoding/binary"
	"time"
)

// Box makes a box: its length, its kind and its body (§4.2).
func Box(kind string, parts ...[]byte) []byte {
	box := append(make([]byte, 4), kind...)
	for _, p := range parts {
		box = append(box, p...)
	}
	binary.BigEndian.PutUint32(box, uint32(len(box)))
	return box
}

// Full makes a box with a version and flags.
func Full(kind string, version byte, flags uint32, parts ...[]byte) []byte {
	return Box(kind, append([][]byte{Uint32(uint32(version)<<24 | flags)}, parts...)...)
}

// Uint32 writes a field of 32 bits.
func Uint32(v uint32) []byte { return binary.BigEndian.AppendUint32(nil, v) }

// timed makes an mvhd or mdhd of version 0 (§8.2.2, §8.4.2).
func timed(kind string, created, scale, duration uint32) []byte {
	return Full(kind, 0, 0, Uint32(created), Uint32(created), Uint32(scale), Uint32(duration), make([]byte, 80))
}

// Video makes a file with a picture of the given length, created at a time of the
// camera's clock; the zero time means none. The header comes last, as cameras
// write it.
func Video(length time.Duration, created time.Time) []byte {
	const scale = 30_000
	since1904 := uint32(0)
	if !created.IsZero() {
		since1904 = uint32(created.Sub(time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)) / time.Second)
	}
	units := uint32(length.Seconds() * scale)
	media := Box("mdia", timed("mdhd", since1904, scale, units),
		Full("hdlr", 0, 0, Uint32(0), []byte("vide"), make([]byte, 13)))
	return append(NeverClosed(), Box("moov", timed("mvhd", since1904, scale, units), Box("trak", media))...)
}

// NeverClosed makes a file in its state before the camera writes the header.
func NeverClosed() []byte {
	return append(Box("ftyp", []byte("isom"), Uint32(512)), Box("mdat", []byte("the lake at dawn"))...)
}
