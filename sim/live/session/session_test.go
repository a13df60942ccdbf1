package session

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// stopped is a clock that is stopped.
func stopped() sim.Micros { return 0 }

// A panic in a reader is raised in the screen's goroutine, which restores the terminal
// (package term tests that).
func TestAPanicInAReaderIsRaisedAtTheScreen(t *testing.T) {
	s := New(sim.DefaultRig(), stopped, nil)
	s.work(func() { panic("the reader broke") })
	var cause any
	func() {
		defer func() { cause = recover() }()
		s.Watch(t.Context(), nil)
	}()
	require.Contains(t, cause, "the reader broke")
	require.Contains(t, cause, "session_test.go", "it says where")
}

func TestAReaderThatEndsRaisesNothing(t *testing.T) {
	s := New(sim.DefaultRig(), stopped, nil)
	s.work(func() { s.end(nil) })
	<-s.Ended()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.NotPanics(t, func() { s.Watch(ctx, nil) })
}
