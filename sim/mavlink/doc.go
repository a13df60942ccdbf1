// Package mavlink reads channels, outputs and the armed state from recordings
// and streams of MAVLink, the open telemetry standard of mavlink.io, frames of
// version 1 and 2.
//
// It decodes four messages: HEARTBEAT, RC_CHANNELS, RC_CHANNELS_RAW and
// SERVO_OUTPUT_RAW. Their layouts are those of the standard's minimal.xml and
// common.xml. Reading has these stages:
//
//  1. [Reader] splits the stream into frames. A frame of the four messages counts
//     if its check sum is right. Any other frame is foreign: its check sum
//     cannot be verified, so it is skipped if another frame or the end follows.
//     Anything else is damage: the reader counts it and continues at the next
//     byte.
//  2. Each frame may be preceded by the time at which it was recorded, as a
//     big-endian count of µs since 1970.
//  3. The reader listens to the requested flight controller, or to the first
//     that sends the wanted channel; its heartbeats say whether it is armed. A
//     [Survey] of a whole recording says which one sends most.
//  4. Values become samples, in segments.
//
// # Time
//
// Samples have the flight controller's own time (time_boot_ms or time_usec),
// which is free of delays on the way to the recorder. The time before the frame
// is used if a message leaves its own at 0. A frame that is up to 2 s late was
// overtaken on its way and is left out. A longer step back is a restart and
// starts a new segment.
//
// Messages that repeat the value of an instant (a channel is in both
// RC_CHANNELS and RC_CHANNELS_RAW) give one sample.
//
// # What it does not do
//
// Signatures are skipped, not verified. Nothing is ever sent.
package mavlink
