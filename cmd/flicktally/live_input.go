package main

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/files"
	"flicktally/sim/live/session"
	"flicktally/sim/problem"
)

var errNoLiveSource = problem.WrongUsage(errors.New("found no source, want one: -, a file, a serial device, --udp or --joystick"),
	"see: flicktally live --help")

// openLive opens the source that was asked for.
func (a *app) openLive(args []string, f *liveFlags, rig sim.Rig) (session.Input, error) {
	transmitter, err := f.openTransmitter()
	if err != nil {
		return session.Input{}, err
	}
	asked := len(args)
	if f.udp != "" {
		asked++
	}
	if transmitter != nil {
		asked++
	}
	opts, err := a.liveOptions(f, rig)
	if err != nil {
		return session.Input{}, err
	}
	switch {
	case asked == 0:
		return session.Input{}, errNoLiveSource
	case asked > 1:
		return session.Input{}, problem.WrongUsage(errors.New("found several sources, want one"))
	case transmitter != nil:
		return switchInput(transmitter), nil
	case f.udp != "":
		return a.openUDP(f.udp, opts)
	case args[0] == "-":
		if f.keys {
			return session.Input{}, problem.WrongUsage(errors.New("found --keys with standard input as the source, want one of them"))
		}
		return session.Stream("-", a.in, opts), nil
	default:
		return a.openPath(args[0], f, opts)
	}
}

// liveOptions say how the bytes of a source are read.
func (a *app) liveOptions(f *liveFlags, rig sim.Rig) (session.Options, error) {
	how, err := a.how(&f.logFlags)
	if err != nil {
		return session.Options{}, err
	}
	opts := how.Options(rig, sim.Thinning{})
	if f.from == "" {
		return session.Options{Source: opts}, nil
	}
	if f.udp == "" {
		return session.Options{}, problem.WrongUsage(errors.New("found --from without datagrams, want --udp with it"))
	}
	from, err := addressOf(f.from)
	if err != nil {
		return session.Options{}, problem.WrongUsage(fmt.Errorf("--from: found %q, want the address or the name of a host, and a port if you like: %w", f.from, err))
	}
	return session.Options{Source: opts, From: from}, nil
}

// addressOf returns the address of a host, with its port where one is given.
func addressOf(host string) (string, error) {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name, port = host, ""
	}
	resolved, err := net.ResolveIPAddr("ip", name)
	if err != nil {
		return "", err
	}
	if port == "" {
		return resolved.String(), nil
	}
	return net.JoinHostPort(resolved.String(), port), nil
}

// openPath opens a file that grows, a serial device or a pipe.
func (a *app) openPath(path string, f *liveFlags, opts session.Options) (session.Input, error) {
	if session.IsSerialPort(path) {
		return session.Serial(path, f.baud, opts), nil
	}
	a.files.Reads(path)
	info, err := files.Stat(path)
	switch {
	case err != nil:
		return session.Input{}, problem.CannotRead(fmt.Errorf("cannot read the source: %w", err))
	case info.IsDir():
		return session.Input{}, problem.CannotRead(fmt.Errorf("%s is a folder, want a log file", path))
	case info.Mode().IsRegular() && !f.noFollow:
		return session.Follow(path, opts), nil
	case info.Mode()&fs.ModeCharDevice != 0:
		return session.Serial(path, f.baud, opts), nil
	default:
		return session.Path(path, opts), nil
	}
}

// openUDP listens. A port alone is one of this machine only.
func (a *app) openUDP(asked string, opts session.Options) (session.Input, error) {
	address := asked
	if _, err := strconv.ParseUint(strings.TrimPrefix(address, ":"), 10, 16); err == nil {
		address = net.JoinHostPort("127.0.0.1", strings.TrimPrefix(address, ":"))
	}
	resolved, err := net.ResolveUDPAddr("udp", address)
	if err != nil {
		return session.Input{}, problem.WrongUsage(fmt.Errorf("--udp: found %q, want a port such as 14550, or an address and a port", asked))
	}
	in, err := session.Datagrams(resolved, opts)
	if err != nil {
		return session.Input{}, fmt.Errorf("cannot listen: %w", err)
	}
	a.talk.note("listening on %s", in.Name)
	return in, nil
}
