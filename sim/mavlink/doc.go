// Package mavlink reads channels, outputs and the armed state from recordings
// and streams of MAVLink, the open telemetry standard of mavlink.io, frames of
// version 1 and 2.
//
// It decodes four messages: HEARTBEAT, RC_CHANNELS, RC_CHANNELS_RAW and
// SERVO_OUTPUT_RAW; layouts are those of the standard's minimal.xml and
// common.xml. The data goes this way:
//
//  1. [Reader] cuts the stream into frames. A frame of the four counts if its
//     check sum is right. Any other is foreign and passed over if it is followed
//     by another frame or the end, since its check sum cannot be known. What is
//     no frame is damaged: the reader goes on at the next byte, and counts.
//  2. Frames may each be preceded by the time at which they were recorded, as a
//     big-endian count of µs since 1970.
//  3. The flight controller that is asked for is listened to, or the first that
//     sends the wanted channel; its heartbeats tell whether it is armed. A [Survey]
//     of a whole recording says which one sends most.
//  4. Values become samples, in segments.
//
// # Time
//
// Samples carry the flight controller's own time (time_boot_ms or time_usec),
// which does not suffer from the way to the recorder; the time before the frame
// serves where a message leaves its own at 0. A frame that comes late by up to
// 2 s was overtaken on its way and is left out; a longer step back is a restart
// and begins a new segment.
//
// Messages that say again what another said of the same instant (a channel is in
// RC_CHANNELS and in RC_CHANNELS_RAW) are one sample.
//
// # What it does not do
//
// Signatures are passed over, not verified. Nothing is ever sent.
package mavlink
