// Package history keeps what was practised: a journal in the user's data folder
// that only grows, with one JSON object per line. Only this part of the trainer
// touches files.
//
// # The journal
//
// practice.jsonl holds lines of four types: "drill" when one begins, "run" when
// the rig begins to run, "flick" and "trial" as soon as each is over. Every line
// carries the schema number, the drill, the device, the rig with a hash of what
// matters in it, and the version of the program; every edge of the switch is in
// it, in whole microseconds since the drill began. The last field, "crc32", is
// the CRC-32 (IEEE) of all bytes of the line before its comma, in hexadecimal.
//
// A line is written whole and at once, under a lock (practice.lock), so that
// several programs can practise at the same time and a killed one loses at most
// the current flick. The next program that writes moves a line torn in spite of
// that, say by a power cut, to practice.torn. Nothing in the journal is ever
// overwritten. Lines that cannot be read are counted and left in place.
//
// # The summary
//
// practice.summary has the contents of the journal in few bytes, without moves
// and words, so that years of practice are read at once ([Journal.ReadBrief]).
// It counts only for a journal that begins with the very bytes it was made
// from, and is otherwise made again. It may be deleted at any time.
package history
