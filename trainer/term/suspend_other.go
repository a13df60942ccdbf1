//go:build !unix

package term

import "os"

// There is no job control here: nothing is heard, and Ctrl-Z does nothing.

func (s *session) heedJobSignals() {}

func (s *session) obeyJobSignal(os.Signal) {}

func (s *session) suspend() {}
