// Package chanlog reads the channel logs of a flight as samples, and writes
// samples as such a log.
//
// A log is CSV as in RFC 4180, or what loggers really write. The data goes
// through these stages:
//
//  1. The source reads the stream in pieces, optionally in a separate goroutine,
//     decompresses gzip, and joins the pieces into one window.
//  2. The search reads record by record until it knows the delimiter, the header
//     and the wanted columns. Anything before is preamble. The first rows then
//     show what the header does not, such as the unit of the time.
//  3. Rows are read in one of two ways, which give the same for a line that both
//     can read. The fast way reads plain lines: it finds the wanted columns
//     without decoding the others, and may leave out unchanged rows, in which
//     only the time differs ([Options.Thin]). It can also read the rows of
//     waiting pieces ahead. The general way splits any other record into fields
//     and reads those that are wanted.
//  4. The clock turns times into times of a segment: it unwraps a counter, and
//     starts a segment where time runs backwards. If the clock is coarser than
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
// its place or, if the caller is lenient, skipped and counted. It opens no file
// and uses at most 16 MiB whatever the input.
package chanlog
