// Package liveview shows a tally while it happens, over a [Stream] that says
// what the camera should be doing now.
package liveview
