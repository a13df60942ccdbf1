package device

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strconv"
	"sync"
	"time"
	"unsafe"

	"golang.org/x/sys/windows"
	"golang.org/x/sys/windows/registry"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// The system's multimedia calls for joysticks, joystickapi.h, and its clock of the
// highest resolution.
var (
	winmm         = windows.NewLazySystemDLL("winmm.dll")
	joyNumDevs    = winmm.NewProc("joyGetNumDevs")
	joyDevCaps    = winmm.NewProc("joyGetDevCapsW")
	joyPosEx      = winmm.NewProc("joyGetPosEx")
	joyChanged    = winmm.NewProc("joyConfigChanged")
	beginPeriod   = winmm.NewProc("timeBeginPeriod")
	kernel        = windows.NewLazySystemDLL("kernel32.dll")
	queryCounter  = kernel.NewProc("QueryPerformanceCounter")
	counterPeriod = sync.OnceValue(func() int64 {
		var ticks int64
		must(kernel.NewProc("QueryPerformanceFrequency").Call(uintptr(unsafe.Pointer(&ticks))))
		return ticks
	})
)

// must panics if a call failed that cannot fail.
func must(ok, _ uintptr, err error) {
	if ok == 0 {
		panic("internal error: the monotonic clock: " + err.Error())
	}
}

// Now returns the time of the system's performance counter.
func Now() sim.Micros {
	var ticks int64
	must(queryCounter.Call(uintptr(unsafe.Pointer(&ticks))))
	frequency := counterPeriod()
	return sim.Micros(ticks/frequency*1e6 + ticks%frequency*1e6/frequency)
}

// capabilities is JOYCAPSW.
type capabilities struct {
	Maker, Product                     uint16
	Name                               [32]uint16
	XMin, XMax, YMin, YMax, ZMin, ZMax uint32
	Buttons, PeriodMin, PeriodMax      uint32
	RMin, RMax, UMin, UMax, VMin, VMax uint32
	Caps, MaxAxes, Axes, MaxButtons    uint32
	Key                                [32]uint16
	Driver                             [260]uint16
}

// Bits of capabilities.Caps: which axes exist beyond the first two.
const (
	hasZ = 1
	hasR = 2
	hasU = 4
	hasV = 8
)

// ranges returns the ranges of the six axes; a missing axis has an empty one.
func (c *capabilities) ranges() [6]joystick.Range {
	var all [6]joystick.Range
	for i, a := range []struct {
		there     bool
		low, high uint32
	}{
		{true, c.XMin, c.XMax}, {true, c.YMin, c.YMax}, {c.Caps&hasZ != 0, c.ZMin, c.ZMax},
		{c.Caps&hasR != 0, c.RMin, c.RMax}, {c.Caps&hasU != 0, c.UMin, c.UMax}, {c.Caps&hasV != 0, c.VMin, c.VMax},
	} {
		if a.there {
			all[i] = joystick.Range{Low: int32(a.low), High: int32(a.high)}
		}
	}
	return all
}

// name returns the name of the product if the system has it, else that of its
// driver.
func (c *capabilities) name() string {
	product := fmt.Sprintf(`System\CurrentControlSet\Control\MediaProperties\PrivateProperties\Joystick\OEM\VID_%04X&PID_%04X`, c.Maker, c.Product)
	for _, root := range []registry.Key{registry.CURRENT_USER, registry.LOCAL_MACHINE} {
		key, err := registry.OpenKey(root, product, registry.QUERY_VALUE)
		if err != nil {
			continue
		}
		name, _, err := key.GetStringValue("OEMName")
		key.Close()
		if err == nil && name != "" {
			return name
		}
	}
	return windows.UTF16ToString(c.Name[:])
}

func capabilitiesOf(id uintptr) (c capabilities, ok bool) {
	code, _, _ := joyDevCaps.Call(id, uintptr(unsafe.Pointer(&c)), unsafe.Sizeof(c))
	return c, code == 0
}

// place is JOYINFOEX as bytes.
type place [joystick.PositionSize]byte

// everything requests all axes and buttons.
const everything = 0xff

// ask reads the positions of the controls.
func (p *place) ask(id uintptr) error {
	*p = place{}
	*(*uint32)(unsafe.Pointer(&p[0])) = joystick.PositionSize
	*(*uint32)(unsafe.Pointer(&p[4])) = everything
	code, _, _ := joyPosEx.Call(id, uintptr(unsafe.Pointer(p)))
	if code != 0 {
		return errUnplugged // the only error after the start
	}
	return nil
}

// listAll returns the transmitters and other game controllers that are plugged in.
// Their paths are the system's joystick numbers, from 1.
func listAll() ([]Info, error) {
	if winmm.Load() != nil {
		return nil, errors.New("this system has no winmm.dll, through which joysticks are read")
	}
	joyChanged.Call(0) // otherwise new devices are not listed
	devices, _, _ := joyNumDevs.Call()
	var found []Info
	for id := range devices {
		var p place
		if p.ask(id) != nil {
			continue
		}
		if c, ok := capabilitiesOf(id); ok {
			found = append(found, Info{Path: strconv.FormatUint(uint64(id)+1, 10), Name: c.name()})
		}
	}
	return found, nil
}

// Open opens the joystick with a number, or with "" the first one found.
func Open(path string) (*Device, error) {
	all, err := listAll()
	if err != nil {
		return nil, err
	}
	for _, info := range all {
		if path == "" || path == info.Path {
			return open(info)
		}
	}
	if path == "" {
		return nil, errors.New("found no transmitter, want one on USB that acts as a game controller")
	}
	return nil, fmt.Errorf("found no joystick %q, want the number of one that is plugged in, from 1", path)
}

func open(info Info) (*Device, error) {
	number, err := strconv.ParseUint(info.Path, 10, 16)
	if err != nil {
		return nil, err
	}
	id := uintptr(number - 1)
	c, ok := capabilitiesOf(id)
	if !ok {
		return nil, errUnplugged
	}
	beginPeriod.Call(1) // makes sleeps of a millisecond about that long
	return &Device{
		Info: info, file: newPoller(id), buf: make([]byte, joystick.PositionSize),
		decoder: joystick.NewPositions(c.ranges(), int(c.Buttons)),
	}, nil
}

// pollEvery is the interval between readings of the controls.
const pollEvery = time.Millisecond

// poller polls a joystick and returns a record when something moved.
type poller struct {
	id     uintptr
	last   place
	began  bool
	ctx    context.Context
	cancel context.CancelFunc
}

func newPoller(id uintptr) *poller {
	ctx, cancel := context.WithCancel(context.Background())
	return &poller{id: id, ctx: ctx, cancel: cancel}
}

func (p *poller) Read(b []byte) (int, error) {
	tick := time.NewTicker(pollEvery)
	defer tick.Stop()
	for {
		if p.ctx.Err() != nil {
			return 0, os.ErrClosed
		}
		var now place
		if err := now.ask(p.id); err != nil {
			return 0, err
		}
		if !p.began || now != p.last {
			p.began, p.last = true, now
			return copy(b, now[:]), nil
		}
		select {
		case <-p.ctx.Done():
		case <-tick.C:
		}
	}
}

func (p *poller) Close() error {
	p.cancel()
	return nil
}

func explain(err error) error { return err }
