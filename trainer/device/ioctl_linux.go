package device

import (
	"bytes"
	"math/bits"
	"os"
	"unsafe"

	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// inputInterface is the kernel's interface of a file.
type inputInterface int

const (
	plainRecords inputInterface = iota // a pipe or a file, not a device
	eventInterface
	joystickInterface
)

// Requests of linux/input.h and linux/joystick.h: direction, size of the
// argument, letter of the driver, number, as laid out on most architectures.
const (
	iocWrite = 1
	iocRead  = 2
)

func request(direction, size uintptr, letter byte, number uintptr) uintptr {
	return direction<<30 | size<<16 | uintptr(letter)<<8 | number
}

var (
	eventVersion    = request(iocRead, 4, 'E', 0x01)
	eventName       = request(iocRead, nameSize, 'E', 0x06)
	eventKeyState   = request(iocRead, keyCount/8, 'E', 0x18)
	eventClock      = request(iocWrite, 4, 'E', 0xa0)
	joystickVersion = request(iocRead, 4, 'j', 0x01)
	joystickName    = request(iocRead, nameSize, 'j', 0x13)
)

// eventBits requests the codes of a type that a device has, eventAxis the range
// of an axis.
func eventBits(kind, size uintptr) uintptr { return request(iocRead, size, 'E', 0x20+kind) }
func eventAxis(code uint16) uintptr {
	return request(iocRead, unsafe.Sizeof(axisInfo{}), 'E', 0x40+uintptr(code))
}

const (
	nameSize = 256
	keyCount = 0x300 // KEY_CNT
	absCount = 0x40  // ABS_CNT

	typeKey = 0x01
	typeAbs = 0x03

	// Buttons of joysticks and gamepads lie from BTN_MISC up to BTN_DIGI, and
	// from BTN_TRIGGER_HAPPY on; keys of keyboards do not.
	firstButton, endButton = 0x100, 0x140
	firstJoystick          = 0x120
	firstHappy, endHappy   = 0x2c0, 0x2e8
	lastStickAxis          = 0x1f // ABS_MISC and multitouch lie above
)

// axisInfo is struct input_absinfo.
type axisInfo struct{ Value, Minimum, Maximum, Fuzz, Flat, Resolution int32 }

// ask makes a request. It uses the descriptor without taking it from Go's poller.
func ask(f *os.File, request uintptr, argument unsafe.Pointer) error {
	raw, err := f.SyscallConn()
	if err != nil {
		return err
	}
	var errno unix.Errno
	err = raw.Control(func(fd uintptr) {
		_, _, errno = unix.Syscall(unix.SYS_IOCTL, fd, request, uintptr(argument))
	})
	if err == nil && errno != 0 {
		err = errno
	}
	return err
}

func interfaceOf(f *os.File) inputInterface {
	var version int32
	switch {
	case ask(f, eventVersion, unsafe.Pointer(&version)) == nil:
		return eventInterface
	case ask(f, joystickVersion, unsafe.Pointer(&version)) == nil:
		return joystickInterface
	default:
		return plainRecords
	}
}

// controllerName returns a device's name, and whether it is a game controller:
// one of the joystick interface, or an event device with axes and joystick
// buttons, or with too many axes for a pointer.
func controllerName(f *os.File) (string, bool) {
	nameOf := func(request uintptr) string {
		var name [nameSize]byte
		if ask(f, request, unsafe.Pointer(&name)) != nil {
			return ""
		}
		text, _, _ := bytes.Cut(name[:], []byte{0})
		return string(text)
	}
	switch interfaceOf(f) {
	case joystickInterface:
		return nameOf(joystickName), true
	case eventInterface:
		controls, _, err := controlsOf(f)
		if err != nil {
			return "", false
		}
		axes, buttons := 0, 0
		for _, c := range controls {
			switch {
			case c.Kind == joystick.Axis:
				axes++
			case c.Number >= firstJoystick:
				buttons++
			}
		}
		return nameOf(eventName), axes >= 2 && buttons > 0 || axes >= 4
	default:
		return "", false
	}
}

func useMonotonicClock(f *os.File) error {
	clock := int32(unix.CLOCK_MONOTONIC)
	return ask(f, eventClock, unsafe.Pointer(&clock))
}

// controlsOf returns the axes and buttons of an event device, and the ranges of
// the axes.
func controlsOf(f *os.File) ([]joystick.Control, map[uint16]joystick.Range, error) {
	var axisBits [absCount / bits.UintSize]uint
	var keyBits [keyCount / bits.UintSize]uint
	if err := ask(f, eventBits(typeAbs, absCount/8), unsafe.Pointer(&axisBits)); err != nil {
		return nil, nil, err
	}
	if err := ask(f, eventBits(typeKey, keyCount/8), unsafe.Pointer(&keyBits)); err != nil {
		return nil, nil, err
	}
	var controls []joystick.Control
	ranges := map[uint16]joystick.Range{}
	for code := uint16(0); code <= lastStickAxis; code++ {
		if !isSet(axisBits[:], code) {
			continue
		}
		var info axisInfo
		if err := ask(f, eventAxis(code), unsafe.Pointer(&info)); err != nil {
			return nil, nil, err
		}
		controls = append(controls, joystick.Control{Kind: joystick.Axis, Number: code})
		ranges[code] = joystick.Range{Low: info.Minimum, High: info.Maximum}
	}
	for code := uint16(firstButton); code < endHappy; code++ {
		if (code < endButton || code >= firstHappy) && isSet(keyBits[:], code) {
			controls = append(controls, joystick.Control{Kind: joystick.Button, Number: code})
		}
	}
	return controls, ranges, nil
}

// isSet reports whether a bit is set in a bitmap of the kernel's longs.
func isSet(bitmap []uint, n uint16) bool { return bitmap[n/bits.UintSize]>>(n%bits.UintSize)&1 != 0 }

// positions reads the positions of the controls.
func positions(f *os.File, events *joystick.Events, controls []joystick.Control, at sim.Micros) ([]joystick.Move, error) {
	var keys [keyCount / bits.UintSize]uint
	if err := ask(f, eventKeyState, unsafe.Pointer(&keys)); err != nil {
		return nil, err
	}
	var moves []joystick.Move
	for _, c := range controls {
		raw := int32(0)
		if c.Kind == joystick.Axis {
			var info axisInfo
			if err := ask(f, eventAxis(c.Number), unsafe.Pointer(&info)); err != nil {
				return nil, err
			}
			raw = info.Value
		} else if isSet(keys[:], c.Number) {
			raw = 1
		}
		moves = append(moves, events.Found(at, c, raw))
	}
	return moves, nil
}
