// Package vcd reads and writes value change dumps, the waveform format of
// IEEE 1364-2005 §18: captures of the camera's wire from a logic analyser come
// in, all stages of a replay go out to a waveform viewer.
//
// [Reader] finds one wire by its name and yields its level as samples for
// [sim.TapWire]; other wires and vectors are passed over. The capture is read
// as a stream: however long it is, reading takes less than 48 MiB, for one word of
// at most 1 MiB and 16 MiB of wires with their names. [Write] dumps lanes.
//
// What a capture cannot tell apart is told with it: a change lies between two
// samples that are a step of the capture's own time apart, or a microsecond where
// that is longer. Times count from the first; it may lie before 0. What some programs
// write beside the standard ($timezero, $attrbegin, a byte-order mark) is passed over.
//
// Time is cut to whole microseconds, rounded to the nearest. Of several levels
// within one microsecond the last counts, so that a glitch shorter than that is
// gone; the [Summary] counts those changes. x and z are no signal.
package vcd
