package main

import (
	"os"
	"path/filepath"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"flicktally/sim/bmff/bmfftest"
)

// video FILE LENGTH BEGIN [end|none|open] writes what a camera leaves on its card
// of a clip that began at BEGIN, such as 14:03:22. Its header tells the begin, the
// end or no time; an open one was never closed.
func video(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[0])
	length, err := time.ParseDuration(args[1])
	ts.Check(err)
	begin, err := time.Parse("2006-01-02 15:04:05", "2026-06-14 "+args[2])
	ts.Check(err)
	told := begin
	if len(args) > 3 {
		told = map[string]time.Time{"end": begin.Add(length)}[args[3]]
	}
	data := bmfftest.Video(length, told)
	if len(args) > 3 && args[3] == "open" {
		data = bmfftest.NeverClosed()
	}
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o777))
	ts.Check(os.WriteFile(path, data, 0o666))
	ts.Check(os.Chtimes(path, begin.Add(length), begin.Add(length)))
}
