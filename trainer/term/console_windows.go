package term

import (
	"os"
	"sync"
	"unicode/utf16"
	"unsafe"

	"github.com/gdamore/tcell/v2"
	"golang.org/x/sys/windows"
)

// reportsReleases says whether the keyboard reports releases without being asked.
const reportsReleases = true

var readConsoleInput = windows.NewLazySystemDLL("kernel32.dll").NewProc("ReadConsoleInputW")

// console is the console of the process, read by its records. The screen is
// drawn with terminal sequences, which every console of Windows 10 and later
// understands.
type console struct {
	in, out windows.Handle
	stop    windows.Handle // an event: reading ends
	// inMode and outMode are the console's original modes.
	inMode, outMode uint32
	reader          consoleReader
	unread          []byte

	mu      sync.Mutex // guards resized
	resized func()
}

func openTty() (tcell.Tty, error) {
	c := &console{}
	var err error
	if c.in, err = openConsole("CONIN$"); err != nil {
		return nil, err
	}
	if c.out, err = openConsole("CONOUT$"); err != nil {
		windows.CloseHandle(c.in)
		return nil, err
	}
	if c.stop, err = windows.CreateEvent(nil, 1, 0, nil); err != nil {
		c.closeHandles()
		return nil, err
	}
	return c, nil
}

func openConsole(name string) (windows.Handle, error) {
	wide, err := windows.UTF16PtrFromString(name)
	if err != nil {
		return 0, err
	}
	handle, err := windows.CreateFile(wide, windows.GENERIC_READ|windows.GENERIC_WRITE,
		windows.FILE_SHARE_READ|windows.FILE_SHARE_WRITE, nil, windows.OPEN_EXISTING, 0, 0)
	if err != nil {
		return 0, &os.PathError{Op: "open", Path: name, Err: err}
	}
	return handle, nil
}

// Start takes over the console: keys, pointer and sizes arrive as records, and
// ctrl-c as a key.
func (c *console) Start() error {
	if err := windows.GetConsoleMode(c.in, &c.inMode); err != nil {
		return err
	}
	if err := windows.GetConsoleMode(c.out, &c.outMode); err != nil {
		return err
	}
	windows.ResetEvent(c.stop)
	if err := windows.SetConsoleMode(c.in, windows.ENABLE_WINDOW_INPUT|windows.ENABLE_MOUSE_INPUT|windows.ENABLE_EXTENDED_FLAGS); err != nil {
		return err
	}
	return windows.SetConsoleMode(c.out, windows.ENABLE_PROCESSED_OUTPUT|windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING|windows.DISABLE_NEWLINE_AUTO_RETURN)
}

// Drain ends a waiting read.
func (c *console) Drain() error { return windows.SetEvent(c.stop) }

// Stop restores the console.
func (c *console) Stop() error {
	windows.FlushConsoleInputBuffer(c.in)
	if err := windows.SetConsoleMode(c.in, c.inMode); err != nil {
		return err
	}
	return windows.SetConsoleMode(c.out, c.outMode)
}

func (c *console) closeHandles() {
	for _, handle := range []windows.Handle{c.in, c.out, c.stop} {
		if handle != 0 {
			windows.CloseHandle(handle)
		}
	}
}

// Close closes a console that is not in use.
func (c *console) Close() error {
	c.closeHandles()
	return nil
}

// Read waits for input and returns it as a terminal would.
func (c *console) Read(into []byte) (int, error) {
	if len(c.unread) == 0 {
		if first, err := windows.WaitForMultipleObjects([]windows.Handle{c.stop, c.in}, false, windows.INFINITE); err != nil || first == windows.WAIT_OBJECT_0 {
			return 0, err
		}
		var records [64]consoleRecord
		var n uint32
		ok, _, err := readConsoleInput.Call(uintptr(c.in), uintptr(unsafe.Pointer(&records)), uintptr(len(records)), uintptr(unsafe.Pointer(&n)))
		if ok == 0 {
			return 0, err
		}
		c.take(records[:n])
	}
	n := copy(into, c.unread)
	c.unread = c.unread[n:]
	return n, nil
}

func (c *console) take(records []consoleRecord) {
	var info windows.ConsoleScreenBufferInfo
	if windows.GetConsoleScreenBufferInfo(c.out, &info) == nil {
		c.reader.left, c.reader.top = int(info.Window.Left), int(info.Window.Top)
	}
	c.unread = c.unread[:0]
	for i := range records {
		if records[i].kind == consoleSize {
			c.resize()
			continue
		}
		c.unread = c.reader.append(c.unread, &records[i])
	}
}

func (c *console) resize() {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.resized != nil {
		c.resized()
	}
}

// NotifyResize sets a function to call at a new size; nil removes it.
func (c *console) NotifyResize(f func()) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.resized = f
}

// WindowSize returns the size of the window, not of the scroll buffer.
func (c *console) WindowSize() (tcell.WindowSize, error) {
	var info windows.ConsoleScreenBufferInfo
	if err := windows.GetConsoleScreenBufferInfo(c.out, &info); err != nil {
		return tcell.WindowSize{}, err
	}
	w := info.Window
	return tcell.WindowSize{Width: int(w.Right-w.Left) + 1, Height: int(w.Bottom-w.Top) + 1}, nil
}

// Write writes to the screen in UTF-16, for which the console's code page does not
// matter.
func (c *console) Write(text []byte) (int, error) {
	for wide := utf16.Encode([]rune(string(text))); len(wide) > 0; {
		var n uint32
		if err := windows.WriteConsole(c.out, &wide[0], uint32(len(wide)), &n, nil); err != nil {
			return 0, err
		}
		wide = wide[n:]
	}
	return len(text), nil
}
