// Package chanlog reads the channel logs of a flight as samples, and writes
// samples as such a log.
//
// A log is CSV as in RFC 4180, or what loggers really write. The bytes flow one
// way:
//
//  1. Pieces come from the stream, decompressed if it is gzip, optionally read
//     by a separate goroutine. The source joins them into one window.
//  2. The search goes record by record until it knows the delimiter, the header
//     and the columns that are wanted; anything before is preamble.
//  3. The scanner takes plain lines: it finds the wanted columns without
//     decoding the others. It may leave out unchanged rows, in which only the
//     time differs ([Options.Thin]). The plain lines of waiting pieces are read
//     ahead. Any other line goes through the splitter and the row reader. Both
//     ways give the same for a line that both can read.
//  4. The clock turns times into times of a segment: it unwraps a counter, and
//     begins a segment where time runs backwards. If the clock is coarser than
//     the rows, each row gets its own time.
//
// Typical use:
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
// Nothing is lost silently: the [Summary] accounts for every byte and says what
// was found and what was assumed.
//
// # What it does not do
//
// The package does not guess values: a row that cannot be read is an error with
// its place or, for a lenient caller, skipped and counted. It opens no file and
// uses at most 16 MiB whatever the input.
package chanlog
