package session

import (
	"context"
	"errors"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/sim/problem"
)

// fly reads an input that ends, and returns the result.
func fly(t *testing.T, in Input, record *Record) (*Session, Result) {
	t.Helper()
	s := New(sim.DefaultRig(), stopped, record)
	s.Read(in)
	<-s.Ended()
	return s, s.Finish()
}

func TestAFileIsReadWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lake.csv")
	require.NoError(t, os.WriteFile(path, []byte(flick), 0o666))
	in, err := Named(path, 0, false, plain)
	require.NoError(t, err)
	require.Equal(t, path, in.Name)
	s, result := fly(t, in, nil)
	require.NoError(t, result.Input)
	require.Len(t, result.Flights[0].Replay.Takes, 1)
	require.Empty(t, result.Notes())
	require.Empty(t, s.Notice())

	require.NoError(t, os.Remove(path))
	s, result = fly(t, in, nil)
	require.ErrorIs(t, result.Input, os.ErrNotExist)
	require.ErrorContains(t, result.Input, "cannot read the source: ")
	require.Equal(t, result.Input.Error(), s.Notice())
	require.Equal(t, []string{"no sample was received"}, result.Notes())
}

func TestNamedErrors(t *testing.T) {
	folder := t.TempDir()
	_, err := Named(filepath.Join(folder, "none.csv"), 0, true, plain)
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = Named(folder, 0, true, plain)
	require.Equal(t, problem.Unreadable, problem.KindOf(err))
	require.EqualError(t, err, folder+" is a folder, want a log file")
}

// TestAFileIsFollowed: what is appended is read, and a file that is truncated or
// replaced is read from its start. The session is over where the file would be waited
// for.
func TestAFileIsFollowed(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "lake.csv")
	require.NoError(t, os.WriteFile(path, []byte("0,1000\n"), 0o666))
	s := New(sim.DefaultRig(), stopped, nil)
	s.Finish()
	file, err := os.Open(path)
	require.NoError(t, err)
	f := &followed{path: path, file: file, session: s}
	defer func() { f.Close() }()
	reads := func(text string, torn bool) {
		t.Helper()
		a, err := f.next()
		require.NoError(t, err)
		require.Equal(t, text, string(a.data))
		require.Equal(t, torn, a.torn)
		_, err = f.next()
		require.Equal(t, io.EOF, err, "the session is over")
	}
	reads("0,1000\n", false)

	more, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	defer more.Close()
	_, err = more.WriteString("20,1000\n")
	require.NoError(t, err)
	reads("20,1000\n", false)

	require.NoError(t, more.Truncate(0))
	require.NoError(t, f.look())
	_, err = more.WriteString("0,2000\n")
	require.NoError(t, err)
	reads("0,2000\n", true)

	if err := os.Rename(path, path+".old"); err != nil {
		t.Skip("an open file has to keep its name here: ", err)
	}
	require.NoError(t, f.look())
	require.Equal(t, path+" is gone; waiting for it", s.Notice())
	require.NoError(t, os.WriteFile(path, []byte("0,1500\n"), 0o666))
	require.NoError(t, f.look())
	reads("0,1500\n", true)
	require.Equal(t, []string{
		path + " was truncated; reading it from the start", path + " is gone; waiting for it",
		path + " was replaced; reading the new file from the start",
	}, s.News())
	require.Equal(t, path+" was replaced; reading the new file from the start", s.Notice())
}

// TestADeviceThatIsGoneIsWaitedFor, until the session is over. A device that is no
// serial port may end.
func TestADeviceThatIsGoneIsWaitedFor(t *testing.T) {
	s := New(sim.DefaultRig(), stopped, nil)
	s.Finish()
	d := &device{path: "ttyS9", file: io.NopCloser(strings.NewReader("0,1000\n")), serial: true, session: s}
	a, err := d.next()
	require.NoError(t, err)
	require.Equal(t, "0,1000\n", string(a.data))
	_, err = d.next()
	require.Equal(t, io.EOF, err)
	require.Equal(t, "ttyS9 is gone; waiting for it", s.Notice())

	broken := errors.New("broken")
	other := &device{path: "pipe", file: io.NopCloser(io.MultiReader(strings.NewReader("0"), &failing{broken})), session: s}
	_, err = other.next()
	require.NoError(t, err)
	_, err = other.next()
	require.Equal(t, broken, err)
	require.NoError(t, other.Close())
}

// failing fails at each read and write.
type failing struct{ err error }

func (f *failing) Read([]byte) (int, error)  { return 0, f.err }
func (f *failing) Write([]byte) (int, error) { return 0, f.err }

// TestAStreamThatBreaks: what came before counts.
func TestAStreamThatBreaks(t *testing.T) {
	broken := errors.New("the link broke")
	_, result := fly(t, Stream("-", io.MultiReader(strings.NewReader(flick), &failing{broken}), plain), nil)
	require.Equal(t, broken, result.Input)
	require.Len(t, result.Flights[0].Replay.Presses, 1)
}

func TestListen(t *testing.T) {
	for _, wrong := range []string{"lake", "127.0.0.1", "127.0.0.1:99999"} {
		_, err := Listen(wrong, plain)
		require.Equal(t, problem.Usage, problem.KindOf(err), wrong)
		require.ErrorContains(t, err, `--udp: found "`+wrong+`", want a port such as 14550`)
	}
	conn, err := net.ListenUDP("udp", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	_, err = Listen(conn.LocalAddr().String(), plain)
	require.ErrorContains(t, err, "cannot listen: ", "the port is in use")

	sender, err := net.DialUDP("udp", nil, conn.LocalAddr().(*net.UDPAddr))
	require.NoError(t, err)
	defer sender.Close()
	_, err = sender.Write([]byte("0,1000"))
	require.NoError(t, err)
	d := &datagrams{conn: conn, session: New(sim.DefaultRig(), stopped, nil)}
	a, err := d.next()
	require.NoError(t, err)
	require.Equal(t, arrival{from: sender.LocalAddr().String(), data: []byte("0,1000"), rows: true}, a)
	require.NoError(t, d.Close())
	_, err = d.next()
	require.ErrorIs(t, err, net.ErrClosed)

	for _, port := range []string{"0", ":0"} {
		in, err := Listen(port, plain)
		require.NoError(t, err)
		require.Contains(t, in.Name, "udp 127.0.0.1:", "for senders on this machine only")
		s := New(sim.DefaultRig(), stopped, nil)
		s.Read(in)
		s.Finish()
		<-s.Ended()
	}
}

func TestHostAddress(t *testing.T) {
	for host, want := range map[string]string{
		"127.0.0.1": "127.0.0.1", "127.0.0.1:14550": "127.0.0.1:14550", "::1": "::1", "[::1]:14550": "[::1]:14550",
	} {
		address, err := HostAddress(host)
		require.NoError(t, err)
		require.Equal(t, want, address)
	}
}

// hand reads moves of a transmitter. Its clock is stopped, so that nothing is sampled
// between the moves.
func hand(control *joystick.Control, feed func(s *Session, h *Hand)) Result {
	s := New(sim.DefaultRig(), stopped, nil)
	Transmitter("heron", control, stopped, func(_ context.Context, h *Hand) { feed(s, h) }).read(s)
	<-s.Ended()
	return s.Finish()
}

func TestATransmitterIsTallied(t *testing.T) {
	gear, stick := joystick.Control{Kind: joystick.Axis, Number: 5}, joystick.Control{Kind: joystick.Axis, Number: 1}
	at := func(at sim.Micros, control joystick.Control, value sim.PulseWidth) joystick.Move {
		return joystick.Move{At: at, Control: control, Value: value, Initial: at == 0}
	}
	moves := []joystick.Move{
		at(0, gear, 1000), at(0, stick, 1100), at(100*ms, stick, 1110), at(400*ms, gear, 2000), at(700*ms, gear, 1000),
		at(sec, stick, 1200), at(1100*ms, gear, 2000), at(1400*ms, gear, 1000),
	}
	for name, test := range map[string]struct {
		control *joystick.Control
		presses int
	}{"named": {&gear, 2}, "found": {nil, 1}, "another": {&stick, 0}} {
		result := hand(test.control, func(s *Session, h *Hand) {
			notice := flickToBeFound
			if test.control != nil {
				notice = ""
			}
			require.Equal(t, notice, s.Notice(), name)
			h.Gone(errors.New("the transmitter was unplugged"))
			require.Equal(t, "the transmitter was unplugged; waiting for the transmitter", s.Notice())
			h.Back()
			require.Empty(t, s.status.trouble)
			require.Equal(t, notice, s.status.notice, name)
			h.Move(moves)
			require.Empty(t, s.status.notice, "it is found")
		})
		require.Len(t, result.Flights, 1, name)
		require.Len(t, result.Flights[0].Replay.Presses, test.presses, name)
	}
	require.Empty(t, hand(nil, func(_ *Session, h *Hand) { h.Move(moves[:4]) }).Flights, "not flicked back yet")
}
