package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"os"
	"strconv"
	"strings"
	"time"

	"flicktally/sim"
)

// liveInput is where samples come from.
type liveInput struct {
	name string // for people
	path string // of the file that is read; "" if none is
	// read brings what comes to the session, and says when it has ended.
	read func(*liveSession)
}

var errNoLiveSource = wrongUsage(errors.New("found no source, want one: -, a file, a serial device, --udp or --joystick"),
	"see: flicktally live --help")

// openLive opens the source that was asked for.
func (a *app) openLive(args []string, f *liveFlags) (liveInput, error) {
	transmitter, err := f.openTransmitter()
	if err != nil {
		return liveInput{}, err
	}
	asked := len(args)
	if f.udp != "" {
		asked++
	}
	if transmitter != nil {
		asked++
	}
	switch {
	case asked == 0:
		return liveInput{}, errNoLiveSource
	case asked > 1:
		return liveInput{}, wrongUsage(errors.New("found several sources, want one"))
	case transmitter != nil:
		return liveInput{name: transmitter.name(), read: transmitter.readLive}, nil
	case f.udp != "":
		return a.openUDP(f)
	case args[0] == "-":
		if f.keys {
			return liveInput{}, wrongUsage(errors.New("found --keys with standard input as the source, want one of them"))
		}
		return f.streamInput("-", "", func(<-chan struct{}) (io.ReadCloser, error) { return a.in, nil }), nil
	default:
		return f.openPath(args[0])
	}
}

// openPath opens a file that grows, a serial device or a pipe.
func (f *liveFlags) openPath(path string) (liveInput, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return liveInput{}, unreadable(fmt.Errorf("cannot read the source: %w", err))
	case info.IsDir():
		return liveInput{}, unreadable(fmt.Errorf("%s is a folder, want a log file", path))
	case info.Mode().IsRegular() && !f.noFollow:
		return f.streamInput(path, path, func(done <-chan struct{}) (io.ReadCloser, error) {
			file, err := os.Open(path)
			return &growingFile{file, done, 0}, err
		}), nil
	case info.Mode()&fs.ModeCharDevice != 0:
		return f.streamInput(path, "", func(<-chan struct{}) (io.ReadCloser, error) { return openSerial(path, f.baud) }), nil
	default: // opening a pipe waits for who writes
		return f.streamInput(path, path, func(<-chan struct{}) (io.ReadCloser, error) { return os.Open(path) }), nil
	}
}

// openUDP listens. A port alone is one of this machine only.
func (a *app) openUDP(f *liveFlags) (liveInput, error) {
	address := f.udp
	if _, err := strconv.ParseUint(strings.TrimPrefix(address, ":"), 10, 16); err == nil {
		address = net.JoinHostPort("127.0.0.1", strings.TrimPrefix(address, ":"))
	}
	resolved, err := net.ResolveUDPAddr("udp", address)
	if err != nil {
		return liveInput{}, wrongUsage(fmt.Errorf("--udp: found %q, want a port such as 14550, or an address and a port", f.udp))
	}
	conn, err := net.ListenUDP("udp", resolved)
	if err != nil {
		return liveInput{}, fmt.Errorf("cannot listen: %w", err)
	}
	name := "udp " + conn.LocalAddr().String()
	a.talk.note("listening on %s", name)
	return f.streamInput(name, "", func(<-chan struct{}) (io.ReadCloser, error) { return &datagrams{conn: conn}, nil }), nil
}

// streamInput reads a stream of any kind that a log can be of. Opening may wait.
func (f *liveFlags) streamInput(name, path string, open func(done <-chan struct{}) (io.ReadCloser, error)) liveInput {
	return liveInput{name, path, func(s *liveSession) { s.end(f.readStream(s, name, open)) }}
}

// readStream returns what ends the stream, nil if it ended as it should.
func (f *liveFlags) readStream(s *liveSession, name string, open func(done <-chan struct{}) (io.ReadCloser, error)) error {
	stream, err := open(s.done)
	if err != nil {
		return unreadable(fmt.Errorf("cannot read the source: %w", err))
	}
	go func() {
		<-s.done
		stream.Close() // ends a read that waits
	}()
	src, err := f.source(stream, name, s.rig, sim.Thinning{})
	if err != nil {
		return err
	}
	s.begin(src.Tap(), src.Rig(s.rig))
	for {
		block, err := src.Next()
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return unreadableLog(err)
		case !s.take(block, src.Summary()):
			return nil
		}
	}
}

// growingFile waits at its end for more, until done.
type growingFile struct {
	*os.File
	done <-chan struct{}
	read int64
}

// lookForMore is how often a file is looked at for more.
const lookForMore = 50 * time.Millisecond

func (g *growingFile) Read(p []byte) (int, error) {
	for {
		n, err := g.File.Read(p)
		g.read += int64(n)
		if n > 0 || err != io.EOF {
			return n, err
		}
		if info, err := g.Stat(); err == nil && info.Size() < g.read {
			return 0, errors.New("the file was cut while it was read")
		}
		select {
		case <-g.done:
			return 0, io.EOF
		case <-time.After(lookForMore):
		}
	}
}

// datagrams is the stream of what datagrams carry: none is cut, however little
// is asked for at a time.
type datagrams struct {
	conn   *net.UDPConn
	packet [64 << 10]byte
	rest   []byte
}

func (d *datagrams) Read(p []byte) (int, error) {
	for len(d.rest) == 0 {
		n, err := d.conn.Read(d.packet[:])
		if err != nil {
			return 0, err
		}
		d.rest = d.packet[:n]
	}
	n := copy(p, d.rest)
	d.rest = d.rest[n:]
	return n, nil
}

func (d *datagrams) Close() error { return d.conn.Close() }
