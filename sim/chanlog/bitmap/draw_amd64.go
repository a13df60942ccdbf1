package bitmap

import "golang.org/x/sys/cpu"

// Fast reports whether this machine has the vector instructions that Draw
// needs. In plain Go, a map would cost more than it saves.
var Fast = cpu.X86.HasAVX2 && cpu.X86.HasPOPCNT

func draw(m *Map, text []byte, delim byte) {
	if len(text) > 0 {
		drawVector(&m.delims[0], &m.ends[0], &m.before[0], &text[0], len(text)/span, delim)
	}
}

// drawVector draws n words, at least 1.
//
//go:noescape
func drawVector(delims, ends *byte, before *Count, text *byte, n int, delim byte)
