package main

import (
	"fmt"
	"io"

	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
)

// The part of the readable report about what is not known.

func (t *talk) printKnown(f *flight.Flight) {
	lines := f.KnownLines()
	if lines == nil {
		return
	}
	fmt.Fprintln(t.out)
	t.heading("what is not known")
	t.table(func(w io.Writer) {
		for _, line := range lines {
			fmt.Fprintf(w, "%s\t%s\n", line.Name, line.Text)
		}
	})
	if keys := f.Known.NarrowedKeys(); len(keys) > 0 {
		fmt.Fprintln(t.out)
		t.heading("narrowed down, for the rig file")
		fmt.Fprintln(t.out, "  [camera]")
		for _, key := range keys {
			fmt.Fprintln(t.out, "  "+key)
		}
	}
}

// printClips tells which clip is which take.
func (t *talk) printClips(f *flight.Flight) {
	rows := f.ClipRows()
	if rows == nil {
		return
	}
	fmt.Fprintln(t.out)
	t.heading("clips")
	t.table(func(w io.Writer) {
		fmt.Fprintln(w, "clip\tname\tlength\ttake\tits length\toff by")
		for _, r := range rows {
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\n", r.Clip, excerpt.Printable(r.Name), r.Length, r.Take, r.Its, r.Off)
		}
	})
}
