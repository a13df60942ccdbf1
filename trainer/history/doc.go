// Package history keeps the journal of practice: a file in the user's data folder
// that only grows, with one JSON object per line.
//
// # The journal
//
// practice.jsonl has lines of four types: "drill" and "run" when a drill or a run of
// the rig starts, "flick" and "trial" as soon as each is over. Every line has the
// schema number, the drill, the device, the rig with a hash of its settings
// ([RigHash]), and the version of the program. The journal has every edge of the
// switch, in whole microseconds since the start of the drill. The last field of a
// line, "crc32", is the CRC-32 (IEEE) of the bytes before its comma, in hexadecimal.
//
// Each line is written at once and under a lock (practice.lock), so several programs
// can practise at the same time, and a killed one loses at most the current flick.
// If a line is torn nevertheless, as by a power cut, the next write moves it to
// practice.torn. Nothing in the journal is ever overwritten. Lines that cannot be
// read are counted and left in place.
//
// # The summary
//
// practice.summary has the contents of the journal in few bytes, without moves and
// words, so that years of practice are read quickly ([Journal.ReadBrief]). It is used
// only if the journal starts with the bytes that it was made from, and else made
// again. It may be deleted at any time.
package history
