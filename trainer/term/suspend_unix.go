//go:build unix

package term

import (
	"os/signal"
	"syscall"
	"time"
)

// heedContinue makes the session hear of being continued. The stop itself is
// not listened for: once it was, Go would no longer let it stop the process.
func (s *session) heedContinue() { signal.Notify(s.continued, syscall.SIGCONT) }

// unstoppable is how long a stop that was asked for may take to come. A process
// that no shell could continue is never stopped, and goes on after it.
const unstoppable = 500 * time.Millisecond

// suspend gives the terminal back and stops the process, with all of its job as
// the terminal itself would, until it is continued. Without waiting for that
// moment the screen would be taken again before the stop comes into force.
func (s *session) suspend() {
	s.leaveScreen()
	if syscall.Kill(0, syscall.SIGTSTP) == nil {
		select {
		case <-s.continued:
		case <-time.After(unstoppable):
		}
	}
	s.takeScreen()
}

// retakeScreen follows a stop that the session had no part in: whoever had the
// terminal meanwhile may have changed it.
func (s *session) retakeScreen() {
	s.leaveScreen()
	s.takeScreen()
}

// leaveScreen gives the terminal back for a while. It cannot fail on a screen
// that is in use.
func (s *session) leaveScreen() {
	s.using.Lock()
	defer s.using.Unlock()
	s.keepReleases()
	_ = s.screen.Suspend()
}

// takeScreen takes the terminal again, whatever is on it now. One that cannot be
// taken is gone: nothing is drawn any more, and the session ends.
func (s *session) takeScreen() {
	s.using.Lock()
	defer s.using.Unlock()
	if s.screen.Resume() != nil {
		s.gone = true
		s.hangUp()
		return
	}
	s.askReleases()
	s.screen.Sync()
}
