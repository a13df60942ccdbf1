//go:build unix

package term

import (
	"os/signal"
	"syscall"
	"time"
)

// notifyContinue makes the session notice when it is continued. It does not listen
// for the stop, because then Go would not let it stop the process.
func (s *session) notifyContinue() { signal.Notify(s.continued, syscall.SIGCONT) }

// stopWait is how long a requested stop may take. A process that no shell could
// continue is never stopped, and carries on after that time.
const stopWait = 500 * time.Millisecond

// suspend restores the terminal, stops the job as the terminal would, and waits
// until it is continued. Without the wait, the screen would be taken over again
// before the stop takes effect.
func (s *session) suspend() {
	s.leaveScreen()
	if syscall.Kill(0, syscall.SIGTSTP) == nil {
		select {
		case <-s.continued:
		case <-time.After(stopWait):
		}
	}
	s.takeScreen()
}

// retakeScreen takes over the terminal again after a stop from outside, during which
// other programs may have changed it.
func (s *session) retakeScreen() {
	s.leaveScreen()
	s.takeScreen()
}

// leaveScreen restores the terminal for a while. It cannot fail on a screen that is
// in use.
func (s *session) leaveScreen() {
	s.using.Lock()
	defer s.using.Unlock()
	s.dropReleases()
	_ = s.screen.Suspend()
}

// takeScreen takes over the terminal again and redraws everything. If that fails,
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
