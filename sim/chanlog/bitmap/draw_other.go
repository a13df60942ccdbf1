//go:build !amd64

package bitmap

func draw(m *Map, text []byte, delim byte) { drawPlain(m, text, delim) }
