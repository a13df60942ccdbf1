package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// A panic in a reader is raised where the screen is, which gives the terminal
// back (package term tests that).
func TestAPanicInAReaderIsRaisedAtTheScreen(t *testing.T) {
	s := newLiveSession(sim.DefaultRig(), nil)
	s.work(func() { panic("the reader broke") })
	var cause any
	func() {
		defer func() { cause = recover() }()
		s.watch(nil, nil)
	}()
	require.Contains(t, cause, "the reader broke")
	require.Contains(t, cause, "live_session_test.go", "it says where")
}

func TestAReaderThatEndsRaisesNothing(t *testing.T) {
	s := newLiveSession(sim.DefaultRig(), nil)
	s.work(func() { s.end(nil) })
	<-s.ended
	done := make(chan struct{})
	close(done)
	require.NotPanics(t, func() { s.watch(nil, done) })
}
