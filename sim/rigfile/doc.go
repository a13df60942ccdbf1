// Package rigfile turns a rig file, a TOML document, into a [sim.Rig] and back.
//
// [Parse] reads a file. Every key is optional: a missing key keeps its default,
// and an unknown one is refused. [Default] is a file to start from, [Format]
// prints a rig with all its values, and [Edit] sets single keys of a file and
// leaves the rest as it is, comments included.
//
// Every error has a place: [Error] names file, line and column, the key, what
// was found and what would be accepted. The package does not guess: a duration
// without a unit is an error, not milliseconds.
package rigfile
