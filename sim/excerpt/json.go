package excerpt

import (
	"bytes"
	"fmt"
	"io"
	"unicode/utf16"
)

// JSON returns a writer for JSON that may go to a terminal. It escapes unprintable
// characters, which occur only in strings, so values do not change. Each write must
// consist of whole characters, as those of a [json.Encoder] do.
func JSON(w io.Writer) io.Writer { return jsonWriter{w} }

type jsonWriter struct{ w io.Writer }

// Write returns 0 with an error, as the escaped text is longer.
func (j jsonWriter) Write(text []byte) (int, error) {
	escape := func(r rune) bool { return r != '\n' && unprintable(r) }
	if !bytes.ContainsFunc(text, escape) {
		return j.w.Write(text)
	}
	var plain []byte
	for _, r := range string(text) {
		if !escape(r) {
			plain = append(plain, string(r)...)
			continue
		}
		for _, unit := range utf16.Encode([]rune{r}) {
			plain = fmt.Appendf(plain, `\u%04x`, unit)
		}
	}
	if _, err := j.w.Write(plain); err != nil {
		return 0, err
	}
	return len(text), nil
}
