//go:build !unix

package term

// There is no job control here: nothing is heard, and Ctrl-Z does nothing.

func (s *session) heedContinue() {}

func (s *session) suspend() {}

func (s *session) retakeScreen() {}
