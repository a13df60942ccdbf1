// Package vcd reads and writes value change dumps, the waveform format of
// IEEE 1364-2005 §18: it reads captures of the camera's wire from a logic
// analyser, and writes the stages of a replay for a waveform viewer.
//
// [Reader] finds one wire by its name and yields its level as samples for
// [sim.TapWire]; it skips other wires and vectors. It reads the capture as a
// stream and uses less than 48 MiB whatever its length: one word may have 1 MiB,
// and all wires with their names 16 MiB. [Write] writes lanes.
//
// The samples show the resolution of the capture: a change lies between two
// samples that are one time step of the capture apart, or one microsecond if
// that is longer. Times count from the first, which may be before 0. Some
// non-standard additions ($timezero, $attrbegin, a byte-order mark) are skipped.
//
// Times are rounded to the nearest microsecond. Of several levels within one
// microsecond the last counts, so a shorter glitch disappears; [Reader.Summary]
// counts those changes. x and z mean no signal.
package vcd
