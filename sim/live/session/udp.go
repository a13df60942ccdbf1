package session

import (
	"context"
	"io"
	"net"
)

// Datagrams returns what reads the datagrams that come to an address.
func Datagrams(address *net.UDPAddr, open Opener) (Input, error) {
	conn, err := net.ListenUDP("udp", address)
	if err != nil {
		return Input{}, err
	}
	name := "udp " + conn.LocalAddr().String()
	return streamInput(name, open, func(context.Context) (io.ReadCloser, error) { return &datagrams{conn: conn}, nil }), nil
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
