package source

import (
	"bytes"
	"unicode"
	"unicode/utf8"

	"flicktally/sim/mavlink"
)

// Heard is the kind of log that a piece of a stream mostly contains.
type Heard struct {
	Kind  Kind
	Count int // rows or frames; 0 if there are none
	// Whole says that the stream can be read only from its first byte: it is
	// compressed, a waveform, or text in UTF-16.
	Whole  bool
	Survey mavlink.Survey // of the systems that send MAVLink
}

// Hear counts the rows or frames in a piece of a stream. The piece may contain
// anything, and start and end anywhere, even within a frame or a row.
func Hear(piece []byte, opts Options) Heard {
	if n, _ := sniff(piece, true); n.gzip {
		return hearZipped(piece, opts)
	} else if n.kind == VCD {
		return Heard{Kind: VCD, Count: 1, Whole: true}
	}
	if bytes.HasPrefix(piece, []byte("\xff\xfe")) || bytes.HasPrefix(piece, []byte("\xfe\xff")) {
		return Heard{Kind: CSV, Count: 1, Whole: true}
	}
	survey := listen(piece, opts)
	if rows := countRows(piece); rows >= survey.Frames {
		return Heard{Kind: CSV, Count: rows}
	}
	return Heard{Kind: MAVLink, Count: survey.Frames, Survey: survey}
}

// hearZipped is Hear for compressed data. Its count is 0 until there is enough data
// to recognise the format.
func hearZipped(piece []byte, opts Options) Heard {
	h := Heard{Kind: CSV, Whole: true}
	n, sure := sniff(piece, len(piece) >= headSize)
	switch {
	case n.kind == MAVLink:
		h.Survey = listen(unzipHead(piece, surveySize), opts)
		h.Kind, h.Count = MAVLink, h.Survey.Frames
	case sure:
		h.Kind, h.Count = n.kind, 1
	}
	return h
}

// listen surveys a piece of a stream as MAVLink. Without a known channel, or without
// a value of it, no system counts as its sender.
func listen(piece []byte, opts Options) mavlink.Survey {
	line, unknown := mavlink.ParseLine(opts.Spec.Channel)
	survey := mavlink.NewSurvey(bytes.NewReader(piece), line)
	if unknown != nil || survey.Empty {
		return mavlink.Survey{Frames: survey.Frames}
	}
	return survey
}

// countRows counts the lines that may be rows of a log: text with a digit and a
// delimiter.
func countRows(piece []byte) (rows int) {
	for len(piece) > 0 {
		end := bytes.IndexAny(piece, "\r\n")
		if end < 0 {
			break
		}
		if isText(piece[:end]) && bytes.ContainsAny(piece[:end], "0123456789") && bytes.ContainsAny(piece[:end], ",;\t| ") {
			rows++
		}
		piece = piece[end+1:]
	}
	return rows
}

// isText reports whether a line is text as it occurs in logs.
func isText(line []byte) bool {
	return utf8.Valid(line) && !bytes.ContainsFunc(line, func(r rune) bool { return unicode.IsControl(r) && r != '\t' })
}
