package joystick

import (
	"fmt"
	"strconv"
	"strings"
)

// ParseControl reads a control in the form of [Control.String]: "axis 2",
// "button 288".
func ParseControl(text string) (Control, error) {
	bad := fmt.Errorf("found %q, want a control such as \"axis 2\" or \"button 288\"", text)
	kind, number, _ := strings.Cut(strings.TrimSpace(text), " ")
	n, err := strconv.ParseUint(strings.TrimSpace(number), 10, 16)
	if err != nil {
		return Control{}, bad
	}
	switch kind {
	case "axis":
		return Control{Axis, uint16(n)}, nil
	case "button":
		return Control{Button, uint16(n)}, nil
	default:
		return Control{}, bad
	}
}
