package term

import (
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"
)

func TestKeysHaveNames(t *testing.T) {
	for _, tt := range []struct {
		key  tcell.Key
		char rune
		held tcell.ModMask
		want string
	}{
		{tcell.KeyRune, 'e', tcell.ModNone, "e"},
		{tcell.KeyRune, 'E', tcell.ModNone, "E"},
		{tcell.KeyRune, '+', tcell.ModShift, "+"},
		{tcell.KeyRune, ' ', tcell.ModNone, "space"},
		{tcell.KeyRune, 'x', tcell.ModAlt, "alt-x"},
		{tcell.KeyRune, 'c', tcell.ModCtrl, "ctrl-c"},
		{tcell.KeyCtrlZ, 0, tcell.ModCtrl, "ctrl-z"},
		{tcell.KeyLeft, 0, tcell.ModNone, "left"},
		{tcell.KeyLeft, 0, tcell.ModShift, "shift-left"},
		{tcell.KeyPgDn, 0, tcell.ModNone, "pgdn"},
		{tcell.KeyEnter, 0, tcell.ModNone, "enter"},
		{tcell.KeyTab, 0, tcell.ModShift, "shift-tab"},
		{tcell.KeyBacktab, 0, tcell.ModNone, "shift-tab"},
		{tcell.KeyEsc, 0, tcell.ModNone, "esc"},
	} {
		require.Equal(t, tt.want, keyName(tcell.NewEventKey(tt.key, tt.char, tt.held)))
	}
}

func TestPointerReportsBecomeActions(t *testing.T) {
	var p pointer
	for i, step := range []struct {
		buttons tcell.ButtonMask
		want    PointerAction
	}{
		{tcell.ButtonNone, ""},
		{tcell.ButtonPrimary, PointerPress},
		{tcell.ButtonPrimary, PointerDrag},
		{tcell.ButtonNone, ""},
		{tcell.ButtonPrimary, PointerPress},
		{tcell.ButtonNone, ""},
		{tcell.ButtonSecondary, ""},
		{tcell.WheelUp, WheelUp},
		{tcell.WheelDown, WheelDown},
	} {
		require.Equal(t, step.want, p.action(tcell.NewEventMouse(0, 0, step.buttons, 0)), "step %d", i)
	}
}
