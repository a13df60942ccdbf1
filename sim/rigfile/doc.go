// Package rigfile turns a rig file, a TOML document, into a [sim.Rig] and back.
//
// [Parse] reads a file. Every key is optional: a missing key has its default. An
// unknown key is an error. [Default] is a file to start from, [Format] writes a
// rig with all its values, and [Edit] sets single keys of a file and keeps the
// rest, comments included.
//
// Every [Error] names file, line, column and key, what was found and what would
// be accepted. The package does not guess: a duration without a unit is an error,
// not milliseconds.
package rigfile
