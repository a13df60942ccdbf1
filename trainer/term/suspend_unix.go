//go:build unix

package term

import (
	"os"
	"os/signal"
	"syscall"
	"time"
)

// heedJobSignals makes the session hear of being stopped and continued from
// outside.
func (s *session) heedJobSignals() { signal.Notify(s.jobs, syscall.SIGTSTP, syscall.SIGCONT) }

func (s *session) obeyJobSignal(sig os.Signal) {
	if sig == syscall.SIGTSTP {
		s.suspend()
		return
	}
	// It was stopped in the way that no process is told of: whoever had the
	// terminal meanwhile may have changed it.
	s.leaveScreen()
	s.takeScreen()
}

// unstoppable is how long a stop that was asked for may take to come. A process
// that no shell could continue is never stopped, and goes on after it.
const unstoppable = 500 * time.Millisecond

// suspend gives the terminal back and stops the process, with all of its job as
// the terminal itself would, until it is continued. Without waiting for that
// moment the screen would be taken again before the stop comes into force.
func (s *session) suspend() {
	s.leaveScreen()
	continued := make(chan os.Signal, 1)
	signal.Notify(continued, syscall.SIGCONT)
	signal.Stop(s.jobs)
	if syscall.Kill(0, syscall.SIGTSTP) == nil {
		select {
		case <-continued:
		case <-time.After(unstoppable):
		}
	}
	s.heedJobSignals()
	signal.Stop(continued)
	s.takeScreen()
}

// leaveScreen gives the terminal back for a while. It cannot fail on a screen
// that is in use.
func (s *session) leaveScreen() { _ = s.screen.Suspend() }

// takeScreen takes the terminal again, whatever is on it now. A terminal that is
// gone sends its hangup, which ends the session.
func (s *session) takeScreen() {
	if s.screen.Resume() == nil {
		s.screen.Sync()
	}
}
