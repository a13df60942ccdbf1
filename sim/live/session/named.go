package session

import (
	"fmt"
	"io/fs"
	"net"
	"strconv"
	"strings"

	"flicktally/sim/files"
	"flicktally/sim/problem"
)

// HostAddress resolves the name of a host; a port after it is kept.
func HostAddress(host string) (string, error) {
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

// Named returns an input that reads a file, a pipe, or a serial device at a speed in
// baud. With follow it waits at the end of a file for more. The error is one of
// package problem.
func Named(path string, baud uint32, follow bool, opts Options) (Input, error) {
	if isSerialPort(path) {
		return serial(path, baud, opts), nil
	}
	info, err := files.Stat(path)
	switch {
	case err != nil:
		return Input{}, problem.CannotRead(fmt.Errorf("cannot read the source: %w", err))
	case info.IsDir():
		return Input{}, problem.CannotRead(fmt.Errorf("%s is a folder, want a log file", path))
	case info.Mode().IsRegular() && follow:
		return following(path, opts), nil
	case info.Mode()&fs.ModeCharDevice != 0:
		return serial(path, baud, opts), nil
	default:
		return opened(path, opts), nil
	}
}

// Listen returns an input that reads datagrams. A port without an address is opened
// for senders on this machine only.
func Listen(asked string, opts Options) (Input, error) {
	address := asked
	if _, err := strconv.ParseUint(strings.TrimPrefix(address, ":"), 10, 16); err == nil {
		address = net.JoinHostPort("127.0.0.1", strings.TrimPrefix(address, ":"))
	}
	resolved, err := net.ResolveUDPAddr("udp", address)
	if err != nil {
		return Input{}, problem.WrongUsage(fmt.Errorf("--udp: found %q, want a port such as 14550, or an address and a port", asked))
	}
	in, err := datagramsAt(resolved, opts)
	if err != nil {
		return Input{}, fmt.Errorf("cannot listen: %w", err)
	}
	return in, nil
}
