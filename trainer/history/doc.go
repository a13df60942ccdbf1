// Package history keeps what was practised: a journal in the user's data folder
// that only grows, one JSON object a line. It is the only part of the trainer
// that touches files.
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
// A line is written at once and whole, under a lock (practice.lock), so that
// several programs can practise at the same time and a killed one loses at most
// the current flick. A line that was torn all the same, by a power cut say, is
// moved to practice.torn by the next program that writes. Nothing in the
// journal is ever overwritten. Lines that cannot be read are counted and left
// where they are.
//
// # The summary
//
// practice.summary holds in few bytes what the journal tells, without moves and
// words, so that years of practice are known at once ([Journal.ReadBrief]). It
// counts only for a journal that begins with the very bytes it was made from, and
// is made anew otherwise: it may be deleted at any time.
package history
