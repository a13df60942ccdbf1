package bitmap

import "golang.org/x/sys/cpu"

var canDraw = cpu.X86.HasAVX2 && cpu.X86.HasPOPCNT

func draw(m *Map, text []byte, delim byte) {
	switch {
	case len(text) == 0:
	case canDraw:
		drawVector(&m.delims[0], &m.ends[0], &m.before[0], &text[0], len(text)/span, delim)
	default:
		drawPlain(m, text, delim)
	}
}

// drawVector is drawPlain of n words, at least 1, with 32 bytes at a time.
//
//go:noescape
func drawVector(delims, ends *byte, before *Count, text *byte, n int, delim byte)
