package chanlog

import (
	"errors"
	"testing"
	"testing/iotest"

	"flicktally/sim/problem"
)

// FuzzReader checks that no input makes the reader panic or hang, that all ways of
// reading agree, that each byte is accounted for, and that errors have a place.
func FuzzReader(f *testing.F) {
	for _, log := range []string{
		"time_us,aux2\n0,1000\n20,1500\n",
		"\xef\xbb\xbfHeron;16,2 V\r\n\r\nTime [ms];aux2;arm\r\n0,5;1000;1\r\n20,5;;\r\n",
		"0\t1000\n20\t1500",
		"time_us,note,aux2\n0,\"a\nb \"\"c\"\"\",1000\n20,\"open,1500\n",
		"time_us,aux2\n4294967290,1000\n5,1500\ntime_us,aux2\n0,1e3\n-1,nan\n",
		"time_us,aux2,\n0,1000,\n20,1500\n40,1000,,\n",
		"\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff\x2a\xc9\xcc\x4d\x8d\x2f\x2d\xd6\x49\xac\x30\xe2\x02\x04\x00\x00\xff\xff",
		"\"a\",\"b\n1,2\x00\n",
		",\"time_us;aux2\n\"\n",
	} {
		for _, lenient := range []bool{false, true} {
			f.Add([]byte(log), "", "aux2", "", lenient)
			f.Add([]byte(log), "#1", "#2", "#3", lenient)
			f.Add([]byte(log), "", "", "arm", lenient)
		}
	}
	f.Fuzz(func(t *testing.T, log []byte, time, channel, armed string, lenient bool) {
		opts := Options{Spec: spec(time, channel, armed), Lenient: lenient}
		out := read(log, opts, plainWay)
		for _, w := range append(ways[1:], way{tuning{buffer: 16}, false, iotest.OneByteReader}) {
			if w.reader != nil && len(log) > 4096 {
				break // it would take long
			}
			if d := out.differs(read(log, opts, w)); d != "" {
				t.Fatalf("read with %+v: %s", w, d)
			}
		}
		if out.err == nil && !out.sum.Gzip && out.sum.total().Bytes != int64(len(log)) {
			t.Fatalf("%d bytes accounted for, want %d", out.sum.total().Bytes, len(log))
		}
		if out.err == nil && out.sum.Rows == 0 {
			t.Fatal("no rows and no error")
		}
		if e := new(SyntaxError); errors.As(out.err, &e) {
			if e.Line < 1 || e.Column < 1 || e.Found == "" || e.Want == "" {
				t.Fatalf("incomplete error %+v", e)
			}
			problem.Explain(e)
		} else if out.err != nil && !out.sum.Gzip {
			t.Fatalf("error without a place: %v", out.err)
		}
		out.sum.warnings()
	})
}
