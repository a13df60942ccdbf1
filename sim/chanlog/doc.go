// Package chanlog reads the channel logs of a flight as samples, and writes
// samples as such a log.
//
// A log is CSV as of RFC 4180, or what loggers really write. The bytes go one
// way:
//
//  1. The pieces come from the stream, decompressed where it is gzip, in a
//     goroutine of their own if the caller wants; the source joins them to one
//     window.
//  2. The search goes record by record until it knows the delimiter, the header
//     and where the wanted columns are; what stands before is preamble.
//  3. The scanner takes plain lines: it finds the wanted columns without
//     decoding the others. Still rows, in which nothing moves but the time, it
//     may leave out ([Options.Thin]). Where pieces wait, their plain lines are
//     read before it is their turn. What is odd goes record by record through
//     the splitter and the row reader. Both read the same from a line that both
//     can read.
//  4. The clock turns times into times of a segment: it unwraps a counter, and
//     begins a segment where time runs backwards. Rows of a clock that is coarser
//     than they are get times of their own.
//
// The usual way:
//
//	reader := chanlog.NewReader(file, name, chanlog.Options{Spec: rig.Log})
//	for {
//		block, err := reader.Next()
//		if err == io.EOF {
//			break
//		}
//		if err != nil {
//			return err
//		}
//		chain.FeedBlock(block) // a chain for each block.Segment
//	}
//	summary := reader.Summary()
//
// Nothing is lost in silence: the [Summary] accounts for every byte and says
// what was found and what was assumed.
//
// # What it refuses to do
//
// The package guesses no value: a row that cannot be read is an error with its
// place, or, if the caller is lenient, skipped and counted. It opens no file
// and uses at most 16 MiB whatever the input is.
package chanlog
