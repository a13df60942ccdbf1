//go:build !amd64

package bitmap

// Fast reports whether this machine has the vector instructions that Draw
// needs.
const Fast = false

func draw(*Map, []byte, byte) { panic("internal error: a map drawn without vector instructions") }
