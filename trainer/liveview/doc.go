// Package liveview is the screen of a tally while it happens: what the camera should
// be doing, as a [Stream] says.
package liveview
