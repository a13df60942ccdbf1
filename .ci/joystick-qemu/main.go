// Command joystick-qemu is the first process of a virtual machine: it makes a
// game controller, moves it, and checks what package device reads.
package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"time"

	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/trainer/device"
)

func main() {
	if err := check(); err != nil {
		fmt.Println("failed:", err)
	} else {
		fmt.Println("all well")
	}
	unix.Sync()
	unix.Reboot(unix.LINUX_REBOOT_CMD_RESTART) // which -no-reboot turns into an exit
	select {}
}

func check() error {
	if err := boot(); err != nil {
		return fmt.Errorf("boot: %w", err)
	}
	for _, c := range []struct {
		name string
		run  func(*controller) error
	}{
		{"finds the controller", checkFirst},
		{"event device: holds", checkEventHolds},
		{"event device: dropped records", checkDropped},
		{"joystick device: holds", checkJoystickHolds},
		{"unplugged", checkUnplugged},
	} {
		made, err := newController()
		if err != nil {
			return fmt.Errorf("make a controller: %w", err)
		}
		if err := c.run(made); err != nil {
			return fmt.Errorf("%s: %w", c.name, err)
		}
		made.unplug()
		fmt.Println("ok:", c.name)
	}
	return nil
}

// boot mounts what is needed and loads the modules beside this program.
func boot() error {
	for _, folder := range []string{"/dev", "/proc", "/sys"} {
		os.Mkdir(folder, 0o755)
	}
	if err := unix.Mount("devtmpfs", "/dev", "devtmpfs", 0, ""); err != nil && !errors.Is(err, unix.EBUSY) {
		return err
	}
	for _, module := range []string{"uinput", "evdev", "joydev"} {
		f, err := os.Open("/" + module + ".ko")
		if err != nil {
			return err
		}
		if err := unix.FinitModule(int(f.Fd()), "", 0); err != nil {
			return fmt.Errorf("%s: %w", module, err)
		}
	}
	return nil
}

var auxAxis = joystick.Control{Kind: joystick.Axis, Number: aux}

func checkFirst(c *controller) error {
	d, err := device.Open("")
	if err != nil {
		return err
	}
	defer d.Close()
	if d.Path != c.eventPath || d.Name != controllerName {
		return fmt.Errorf("found %s, %q, want %s, %q", d.Path, d.Name, c.eventPath, controllerName)
	}
	return nil
}

// holds are how long the flicks are held.
var holds = []time.Duration{20, 50, 80, 140, 300, 1000, 2000}

// flickAll flicks through the holds, and returns how long each was, measured
// around the writes to the kernel.
func flickAll(c *controller, done chan<- []sim.Interval) {
	var all []sim.Interval
	for _, hold := range holds {
		time.Sleep(60 * time.Millisecond)
		before := device.Now()
		c.move(aux, top)
		after := device.Now()
		time.Sleep(hold * time.Millisecond)
		up := device.Now()
		c.move(aux, bottom)
		all = append(all, sim.Interval{Low: up - after, High: device.Now() - before})
	}
	done <- all
}

// readHolds reads as many flicks as there are holds, and finds the switch.
func readHolds(d *device.Device) (all []sim.Micros, err error) {
	var down sim.Micros
	var finder joystick.Finder
	found := false
	for len(all) < len(holds) {
		moves, err := d.Next()
		if err != nil {
			return nil, err
		}
		for _, m := range moves {
			if c, ok := finder.Feed(m); ok {
				found = c.Kind == joystick.Axis
			}
			switch {
			case m.Initial || m.Control.Kind != joystick.Axis:
			case m.Value == 2000:
				down = m.At
			case m.Value == 1000:
				all = append(all, m.At-down)
			}
		}
	}
	if !found {
		return nil, errors.New("the switch was not found")
	}
	return all, nil
}

func checkHolds(c *controller, path string, slack sim.Micros) error {
	d, err := device.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	if d.Name != controllerName {
		return fmt.Errorf("found the name %q, want %q", d.Name, controllerName)
	}
	done := make(chan []sim.Interval, 1)
	go flickAll(c, done)
	got, err := readHolds(d)
	if err != nil {
		return err
	}
	worst := sim.Micros(0)
	for i, want := range <-done {
		off := max(want.Low-got[i], got[i]-want.High, 0)
		worst = max(worst, off)
		if off > slack {
			return fmt.Errorf("found a hold of %s, want %s, give or take %s", got[i], want, slack)
		}
	}
	fmt.Printf("   holds of 20 ms to 2 s are off by %s at most\n", worst)
	return nil
}

// The kernel stamps events within the write, so its times are exact; times taken
// at the read are late by the time to wake up.
func checkEventHolds(c *controller) error { return checkHolds(c, c.eventPath, 0) }

func checkJoystickHolds(c *controller) error { return checkHolds(c, joystickPath, 20*sim.Millisecond) }

// checkDropped lets the kernel's buffer overflow; afterwards the device must report
// the positions of its controls.
func checkDropped(c *controller) error {
	d, err := device.Open(c.eventPath)
	if err != nil {
		return err
	}
	defer d.Close()
	moves, err := d.Next()
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(moves, func(m joystick.Move) bool { return m.Initial && m.Control == auxAxis && m.Value == 1500 }) {
		return fmt.Errorf("found %v at the opening, want the switch in the middle", moves)
	}
	for n := range int32(2000) {
		c.move(0, n%1000)
	}
	c.move(aux, top)
	c.press(true)
	for {
		moves, err := d.Next()
		if err != nil {
			return err
		}
		button, axis := false, false
		for _, m := range moves {
			if m.Initial && m.Value == 2000 {
				button = button || m.Control.Kind == joystick.Button
				axis = axis || m.Control == auxAxis
			}
		}
		if button && axis {
			return nil
		}
		c.move(0, int32(len(moves))) // so that a report ends the dropping
	}
}

func checkUnplugged(c *controller) error {
	for _, path := range []string{c.eventPath, joystickPath} {
		d, err := device.Open(path)
		if err != nil {
			return err
		}
		defer d.Close()
		go func() {
			time.Sleep(50 * time.Millisecond)
			c.unplug()
		}()
		for err == nil {
			_, err = d.Next()
		}
		if want := "the transmitter was unplugged"; err.Error() != want {
			return fmt.Errorf("%s: found %q, want %q", path, err, want)
		}
		if path != joystickPath {
			if c, err = newController(); err != nil {
				return err
			}
		}
	}
	return nil
}
