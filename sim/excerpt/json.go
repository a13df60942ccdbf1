package excerpt

import (
	"bytes"
	"fmt"
	"io"
	"unicode/utf16"
)

// JSON returns a writer for JSON that may go to a terminal. It escapes
// unprintable characters, which occur only in strings, where an escape keeps
// the value. Each write must contain whole characters, as those of a
// [json.Encoder] do.
func JSON(w io.Writer) io.Writer { return jsonWriter{w} }

type jsonWriter struct{ w io.Writer }

// Write passes the text on at once. As escapes make it longer, an error does
// not say how much was written.
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
