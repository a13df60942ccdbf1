package main

import (
	"context"
	"errors"
	"fmt"

	"flicktally/sim"
	"flicktally/sim/live/session"
	"flicktally/sim/problem"
	"flicktally/trainer/device"
)

var errNoLiveSource = problem.WrongUsage(errors.New("found no source, want -, a file, a serial device, --udp or --joystick"),
	"see: flicktally live --help")

// openLive opens the requested source.
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
		return session.Input{}, problem.WrongUsage(errors.New("found several sources, want one of -, a file, a serial device, --udp and --joystick"))
	case transmitter != nil:
		return switchInput(transmitter), nil
	case f.udp != "":
		in, err := session.Listen(f.udp, opts)
		if err == nil {
			a.talk.note("listening on %s", in.Name)
		}
		return in, err
	case args[0] == "-":
		if f.keys {
			return session.Input{}, problem.WrongUsage(errors.New("found --keys with standard input as the source, want only one of them"))
		}
		return session.Stream("-", a.in, opts), nil
	default:
		a.files.Reads(args[0])
		return session.Named(args[0], f.baud, !f.noFollow, opts)
	}
}

// liveOptions returns how to read the bytes of a source.
func (a *app) liveOptions(f *liveFlags, rig sim.Rig) (session.Options, error) {
	opts := session.Options{Source: a.how(&f.logFlags).Options(rig, sim.Thinning{})}
	if f.from == "" {
		return opts, nil
	}
	if f.udp == "" {
		return opts, problem.WrongUsage(errors.New("found --from without --udp, want both"))
	}
	var err error
	if opts.From, err = session.HostAddress(f.from); err != nil {
		return opts, problem.WrongUsage(fmt.Errorf("--from: found %q, want the address or the name of a host, with or without a port: %w", f.from, err))
	}
	return opts, nil
}

// switchInput is the transmitter's switch as the source of a tally.
func switchInput(t *device.Transmitter) session.Input {
	return session.Transmitter(t.Called(), t.Control, device.Now, func(ctx context.Context, h *session.Hand) {
		t.Feed(ctx, func(event any) {
			switch event := event.(type) {
			case device.Moves:
				h.Move(event.Moves)
			case device.Gone:
				h.Gone(event.Reason)
			case device.Back:
				h.Back()
			}
		})
	})
}
