// Package lists reads the short lists that a pilot keeps: the clips on the
// camera's card ([ReadClips]), and trials at the bench ([ReadTrials]).
//
// A list is CSV (RFC 4180) with commas, semicolons or tabs between the fields,
// detected from its first line. Empty lines, lines that start with # and spaces
// around fields are ignored. Columns are found by their headers, in any order;
// without a header they have the order below. If the separator is not a comma,
// numbers may have a decimal comma.
//
// Clips, in the order of the card:
//
//	duration,start,name
//	0:41,14:03:22,LAKE0001
//	1:02.5,14:05:10,LAKE0002
//
// A duration is in seconds, m:ss or h:mm:ss, with decimals, or has a unit, such
// as 41s. The start is optional: a time of day, with or without a date, or a time
// of any other clock; the offset of the clock does not matter. The name is
// optional.
//
// Trials, in the order in which they were made:
//
//	hold,outcome
//	80ms,nothing
//	0.12s,toggled
//
// A hold has a unit, or its header names one, as in hold_ms. The outcome is
// nothing, toggled or long.
package lists
