//go:build !unix

package term

// Without job control, Ctrl-Z does nothing.

func (s *session) notifyContinue() {}

func (s *session) suspend() {}

func (s *session) retakeScreen() {}
