// Package rigfile turns a rig file, a TOML document, into a [sim.Rig] and back.
//
// [Parse] reads a file: every key is optional, what is not given keeps its
// default, and what is not known is refused. [Default] is a file to begin with,
// [Format] prints a rig with all its values, and [Edit] sets single keys of a
// file and leaves the rest of it, comments included, as its owner wrote it.
//
// Everything that can be wrong with a file has a place in it: [Error] names
// file, line and column, the key, what was found and what would be accepted.
// The package refuses to guess: a duration without a unit is an error, not
// milliseconds.
package rigfile
