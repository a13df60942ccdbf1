package excerpt

import (
	"bytes"
	"fmt"
	"io"
	"unicode/utf16"
)

// JSON returns a writer of JSON that may go to a terminal: it escapes what does
// not print, which takes nothing from a string and stands nowhere else. Each
// write must hold whole characters, as those of a [json.Encoder] do.
func JSON(w io.Writer) io.Writer { return jsonWriter{w} }

type jsonWriter struct{ w io.Writer }

// Write hands the text on at once. As it may have grown, an error says nothing
// of how much of it was written.
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
