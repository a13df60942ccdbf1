// Package lists reads the short lists that a pilot keeps: the clips on the
// camera's card ([ReadClips]), and trials at the bench ([ReadTrials]).
//
// A list is CSV (RFC 4180), with commas, semicolons or tabs between the fields,
// told from its first line. Lines that begin with # and empty lines do not
// count; spaces around fields neither. Columns are found by their headers, in
// any order; without a header they come in the order in which they are named
// below. Where the fields are not parted by commas, numbers may have a decimal
// comma.
//
// Clips, in the order of the card:
//
//	duration,start,name
//	0:41,14:03:22,LAKE0001
//	1:02.5,14:05:10,LAKE0002
//
// A duration is in seconds, m:ss or h:mm:ss, with decimals, or has a unit, such
// as 41s. The start, which may be missing, is the time of day, with a date or
// without, or any other clock's; its offset does not matter. Names may be
// missing.
//
// Trials, in the order in which they were made:
//
//	hold,outcome
//	80ms,nothing
//	0.12s,toggled
//
// A hold has a unit, or its header names one, as hold_ms does. The outcome is
// nothing, toggled or long.
package lists
