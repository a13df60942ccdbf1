package session

import (
	"bytes"
	"errors"
	"net"
)

// datagramsAt returns an input that reads the datagrams sent to an address.
func datagramsAt(address *net.UDPAddr, opts Options) (Input, error) {
	conn, err := net.ListenUDP("udp", address)
	if err != nil {
		return Input{}, err
	}
	name := "udp " + conn.LocalAddr().String()
	return opts.input(name, firstSeconds, func(s *Session) (link, error) { return &datagrams{conn: conn, session: s}, nil }), nil
}

// datagrams is the link of a port, which gets datagrams from any sender.
type datagrams struct {
	conn    *net.UDPConn
	session *Session
	packet  [64 << 10]byte
}

func (d *datagrams) next() (arrival, error) {
	for {
		n, from, err := d.conn.ReadFromUDPAddrPort(d.packet[:])
		switch {
		case errors.Is(err, net.ErrClosed):
			return arrival{}, err
		case err != nil:
			d.session.setTrouble(err.Error())
			if !d.session.pause() {
				return arrival{}, err
			}
			continue
		}
		d.session.setTrouble("")
		return arrival{from: from.String(), data: bytes.Clone(d.packet[:n]), rows: true}, nil
	}
}

func (d *datagrams) Close() error { return d.conn.Close() }
