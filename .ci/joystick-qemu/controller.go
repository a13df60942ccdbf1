package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"
)

// controller is a game controller made with uinput. It has six axes and four
// buttons, like a transmitter on USB.
type controller struct {
	f         *os.File
	eventPath string
}

const (
	controllerName = "Heron transmitter"
	joystickPath   = "/dev/input/js0"

	axes, aux   = 6, 5
	bottom, top = 0, 2000
	trigger     = 0x120 // BTN_TRIGGER
)

// Requests and structures of linux/uinput.h.
const (
	uiSetEvBit  = 0x40045564
	uiSetKeyBit = 0x40045565
	uiSetAbsBit = 0x40045567
	uiDevSetup  = 0x405c5503
	uiAbsSetup  = 0x401c5504
	uiDevCreate = 0x5501
	uiDestroy   = 0x5502
)

type deviceSetup struct {
	Bus, Vendor, Product, Version uint16
	Name                          [80]byte
	Effects                       uint32
}

type axisSetup struct {
	Code                                     uint16
	_                                        uint16
	Value, Low, High, Fuzz, Flat, Resolution int32
}

func newController() (*controller, error) {
	f, err := os.OpenFile("/dev/uinput", os.O_WRONLY, 0)
	if err != nil {
		return nil, err
	}
	c := &controller{f: f}
	before, _ := filepath.Glob("/dev/input/event*")
	set := func(request, value uintptr) {
		if err == nil {
			err = c.request(request, value)
		}
	}
	set(uiSetEvBit, 1) // keys
	set(uiSetEvBit, 3) // axes
	for n := range uintptr(4) {
		set(uiSetKeyBit, trigger+n)
	}
	for n := range uintptr(axes) {
		set(uiSetAbsBit, n)
		setup := axisSetup{Code: uint16(n), Low: bottom, High: top, Value: (bottom + top) / 2}
		set(uiAbsSetup, uintptr(unsafe.Pointer(&setup)))
	}
	setup := deviceSetup{Bus: 3, Vendor: 0x1209, Product: 1}
	copy(setup.Name[:], controllerName)
	set(uiDevSetup, uintptr(unsafe.Pointer(&setup)))
	set(uiDevCreate, 0)
	if err != nil {
		return nil, err
	}
	for range 100 { // until the device files exist
		events, _ := filepath.Glob("/dev/input/event*")
		events = slices.DeleteFunc(events, func(path string) bool { return slices.Contains(before, path) })
		if _, err := os.Stat(joystickPath); err == nil && len(events) == 1 {
			c.eventPath = events[0]
			return c, nil
		}
		time.Sleep(20 * time.Millisecond)
	}
	return nil, fmt.Errorf("an event device or %s did not appear", joystickPath)
}

func (c *controller) request(request, argument uintptr) error {
	if _, _, errno := unix.Syscall(unix.SYS_IOCTL, c.f.Fd(), request, argument); errno != 0 {
		return errno
	}
	return nil
}

type inputEvent struct {
	Seconds, Micros int64
	Kind, Code      uint16
	Value           int32
}

// report sends one event and the SYN_REPORT that ends it, in one write.
func (c *controller) report(kind, code uint16, value int32) {
	events := [2]inputEvent{{Kind: kind, Code: code, Value: value}}
	c.f.Write(unsafe.Slice((*byte)(unsafe.Pointer(&events)), unsafe.Sizeof(events)))
}

func (c *controller) move(axis uint16, value int32) { c.report(3, axis, value) }

func (c *controller) press(down bool) {
	value := int32(0)
	if down {
		value = 1
	}
	c.report(1, trigger, value)
}

// unplug removes the controller.
func (c *controller) unplug() {
	c.request(uiDestroy, 0)
	c.f.Close()
	for range 100 {
		if _, err := os.Stat(c.eventPath); os.IsNotExist(err) {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
}
