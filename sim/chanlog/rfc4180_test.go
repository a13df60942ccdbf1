package chanlog

import (
	"strings"
	"testing"
)

// The examples of RFC 4180 §2, "Definition of the CSV Format", with the text of
// the RFC beside each. The RFC's fields have no numbers, so the fields are compared.
func TestSplitReadsTheExamplesOfRFC4180(t *testing.T) {
	const crlf = "\r\n"
	tests := []struct {
		rule string
		log  string
		want [][]string
	}{
		{
			"§2.1: each record is located on a separate line, delimited by a line break",
			"aaa,bbb,ccc" + crlf + "zzz,yyy,xxx" + crlf,
			[][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		},
		{
			"§2.2: the last record in the file may or may not have an ending line break",
			"aaa,bbb,ccc" + crlf + "zzz,yyy,xxx",
			[][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		},
		{
			"§2.3: there maybe an optional header line",
			"field_name,field_name,field_name" + crlf + "aaa,bbb,ccc" + crlf + "zzz,yyy,xxx" + crlf,
			[][]string{{"field_name", "field_name", "field_name"}, {"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		},
		{
			"§2.5: each field may or may not be enclosed in double quotes",
			`"aaa","bbb","ccc"` + crlf + "zzz,yyy,xxx",
			[][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		},
		{
			"§2.6: fields containing line breaks, double quotes, and commas should be enclosed in double-quotes",
			`"aaa","b` + crlf + `bb","ccc"` + crlf + "zzz,yyy,xxx",
			[][]string{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		},
		{
			"§2.7: a double-quote inside a field must be escaped by preceding it with another double quote",
			`"aaa","b""bb","ccc"`,
			[][]string{{"aaa", `b"bb`, "ccc"}},
		},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			data := []byte(test.log)
			var s splitter
			for _, want := range test.want {
				if status := s.split(data, ',', true); status != splitDone {
					t.Fatalf("split ended with status %d at %q", status, data)
				}
				var got []string
				for i := range s.fields {
					got = append(got, string(s.text(data, i)))
				}
				if strings.Join(got, "¦") != strings.Join(want, "¦") {
					t.Errorf("got %q, want %q", got, want)
				}
				data = data[s.size:]
			}
			if len(data) > 0 {
				t.Errorf("%q is left over", data)
			}
		})
	}
}

// The same forms in a log read as samples.
func TestReaderReadsTheFormsOfRFC4180(t *testing.T) {
	const crlf = "\r\n"
	tests := []struct{ rule, log, want string }{
		{"§2.1 CRLF", "time_us,aux2" + crlf + "0,1000" + crlf + "20,1500" + crlf, "0 1000, 20 1500"},
		{"§2.2 no ending line break", "time_us,aux2" + crlf + "0,1000" + crlf + "20,1500", "0 1000, 20 1500"},
		{"§2.3 no header", "0,1000" + crlf + "20,1500" + crlf, "0 1000, 20000 1500"},
		{"§2.5 quotes in some rows", `"time_us","aux2"` + crlf + `"0","1000"` + crlf + "20,1500", "0 1000, 20 1500"},
		{"§2.5 quotes in one field", `time_us,"aux2"` + crlf + "0,1000" + crlf + `"20",1500`, "0 1000, 20 1500"},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			out := read([]byte(test.log), Options{Spec: spec("", "", "")}, plainWay)
			if out.err != nil || out.rows != test.want {
				t.Errorf("got %q, error %v, want %q", out.rows, out.err, test.want)
			}
		})
	}
	t.Run("§2.6 and §2.7 in columns that are not wanted", func(t *testing.T) {
		log := `time_us,"note",aux2` + crlf + `0,"mark` + crlf + `rounding, ""close""",1000` + crlf + `20,finish,1500` + crlf
		out := read([]byte(log), Options{Spec: spec("", "aux2", "")}, plainWay)
		if want := "0 1000, 20 1500"; out.err != nil || out.rows != want {
			t.Errorf("got %q, error %v, want %q", out.rows, out.err, want)
		}
	})
}
