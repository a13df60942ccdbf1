// Package export writes results for editors, tables, instruments and scripts:
//
//   - [Waveform]: the signal after every stage, as a value change dump
//     (IEEE 1364-2005 §18);
//   - [Takes], [Presses]: tables as CSV (RFC 4180) or JSON lines;
//   - [Cues], [Chapters], [CueFiles]: WebVTT (w3.org/TR/webvtt1), for a player or
//     an editor;
//   - [Edits]: an edit decision list, for an editor;
//   - [Cut]: a part of the log;
//   - [Replays], [Comparisons], [RigCheck], [Bench], [Odds], [LivePress],
//     [LiveTally]: the JSON of results, for scripts.
//
// Times count from the start of the flight's log or, for a clip, from the start
// of its take. The takes are those of the model: only the camera knows its clips.
// If the card was read, clips have the names of their files.
package export
