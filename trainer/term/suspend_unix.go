//go:build unix

package term

import (
	"os/signal"
	"syscall"
	"time"
)

// heedContinue makes the session notice being continued. It does not listen for
// the stop itself, as Go would then no longer let it stop the process.
func (s *session) heedContinue() { signal.Notify(s.continued, syscall.SIGCONT) }

// unstoppable is how long a requested stop may take. A process that no shell
// could continue is never stopped, and goes on after that time.
const unstoppable = 500 * time.Millisecond

// suspend restores the terminal and stops the process with all of its job, as
// the terminal itself would, until it is continued. Without waiting for that,
// the screen would be taken again before the stop takes effect.
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

// retakeScreen follows a stop from outside: other programs may have changed the
// terminal meanwhile.
func (s *session) retakeScreen() {
	s.leaveScreen()
	s.takeScreen()
}

// leaveScreen restores the terminal for a while. It cannot fail on a screen in
// use.
func (s *session) leaveScreen() {
	s.using.Lock()
	defer s.using.Unlock()
	s.keepReleases()
	_ = s.screen.Suspend()
}

// takeScreen takes the terminal again and redraws everything. If that fails,
// the terminal is gone: nothing more is drawn, and the session ends.
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
