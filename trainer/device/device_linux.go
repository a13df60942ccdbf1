package device

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unsafe"

	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/joystick"
	"flicktally/sim/problem"
)

// Now returns the time of the kernel's monotonic clock.
func Now() sim.Micros {
	var t unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_MONOTONIC, &t); err != nil {
		panic("internal error: the monotonic clock: " + err.Error())
	}
	return sim.Micros(t.Nano() / 1000)
}

// native is the record layout of this kernel.
var native = joystick.Layout{LongSize: int(unsafe.Sizeof(uintptr(0))), Order: binary.NativeEndian}

const inputFolder = "/dev/input"

// listAll returns the connected transmitters and other game controllers, event
// devices first. It leaves out a device that it may not open; the error says so if
// there is no other.
func listAll() ([]Info, error) { return list(inputFolder) }

func list(folder string) ([]Info, error) {
	var found []Info
	var refused error
	for _, pattern := range []string{"event*", "js*"} {
		paths, _ := filepath.Glob(filepath.Join(folder, pattern)) // the pattern is well formed
		slices.SortFunc(paths, func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), strings.Compare(a, b)) })
		for _, path := range paths {
			f, err := os.Open(path)
			if err != nil {
				refused = explainOpen(path, err)
				continue
			}
			if name, ok := controllerName(f); ok {
				found = append(found, Info{path, name})
			}
			f.Close()
		}
	}
	if len(found) == 0 {
		return nil, refused
	}
	return found, nil
}

// Open opens the device at a path, or with "" the first one found. A pipe or a file is
// read as joystick records if its name starts with "js", else as event records.
func Open(path string) (*Device, error) {
	if path == "" {
		all, err := listAll()
		if err != nil {
			return nil, err
		}
		if len(all) == 0 {
			return nil, fmt.Errorf("found no transmitter in %s, want one on USB that acts as a game controller", inputFolder)
		}
		path = all[0].Path
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, explainOpen(path, err)
	}
	d, err := open(f, path)
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("cannot read %s: %w", excerpt.Printable(path), err)
	}
	return d, nil
}

func open(f *os.File, path string) (*Device, error) {
	d := &Device{Info: Info{Path: path}, file: f, buf: make([]byte, 64*24)}
	kind := interfaceOf(f)
	if kind == plainRecords && strings.HasPrefix(filepath.Base(path), "js") {
		kind = joystickInterface
	}
	d.Name, _ = controllerName(f)
	if kind == joystickInterface {
		d.decoder = joystick.NewRecords(native.Order)
		return d, nil
	}
	d.KernelTimes = true
	if kind == plainRecords {
		d.decoder = joystick.NewEvents(native, nil)
		return d, nil
	}
	return d, d.beginEvents(f)
}

// beginEvents sets the clock of an event device and reads the positions of its
// controls.
func (d *Device) beginEvents(f *os.File) error {
	if err := useMonotonicClock(f); err != nil {
		return err
	}
	controls, ranges, err := controlsOf(f)
	if err != nil {
		return err
	}
	events := joystick.NewEvents(native, ranges)
	d.decoder = events
	d.state = func(at sim.Micros) ([]joystick.Move, error) { return positions(f, events, controls, at) }
	d.initial, err = d.state(Now())
	return err
}

// explainOpen adds a hint to an error of opening a device.
func explainOpen(path string, err error) error {
	if errors.Is(err, fs.ErrPermission) {
		return problem.Hinted(err, "the group that owns it may read it: see ls -l "+excerpt.Printable(path))
	}
	return err
}

// explain returns errUnplugged for the error of an unplugged device.
func explain(err error) error {
	if errors.Is(err, unix.ENODEV) {
		return errUnplugged
	}
	return err
}
