package mavlink

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParseLine(t *testing.T) {
	for text, want := range map[string]Line{
		"chan6": {Number: 6}, "chan6_raw": {Number: 6}, " Chan18 ": {Number: 18}, "channel7": {Number: 7}, "#7": {Number: 7},
		"ch5": {Number: 5}, "CH18": {Number: 18}, "5": {Number: 5}, " 18": {Number: 18}, "ch6_raw": {Number: 6},
		"aux1": {Number: 5}, "AUX2": {Number: 6}, "aux14": {Number: 18},
		"servo5": {Output: true, Number: 5}, "servo5_raw": {Output: true, Number: 5}, "servo16@1": {Output: true, Number: 16, Port: 1},
	} {
		got, err := ParseLine(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
		again, err := ParseLine(got.String())
		require.NoError(t, err)
		require.Equal(t, want, again)
	}
	const want = ", want a channel from chan1 to chan18 (ch5, 5 and aux1 are chan5), or an output from servo1 to servo16, servo1@1 on port 1"
	for _, text := range []string{"", "chan", "chan0", "chan19", "aux15", "servo17", "servo", "chan6@1", "servo5@", "servo5@256", "throttle", "aux_raw", "#x", "0", "19", "ch0", "5@1"} {
		_, err := ParseLine(text)
		found := "channel " + strconv.Quote(text)
		if text == "" {
			found = "no channel"
		}
		require.EqualError(t, err, "found "+found+want)
	}
	for text, near := range map[string]string{
		"chan-6": "chan6", "-5": "chan5", "Channel 5": "chan5", "aux_2": "chan6", "RC5": "chan5", "rc 5": "chan5", "output 3": "servo3", "out3": "servo3",
	} {
		_, err := ParseLine(text)
		require.EqualError(t, err, "found channel "+strconv.Quote(text)+want+"; try "+near+"")
	}
}

func TestRecognise(t *testing.T) {
	frames := golden(t)
	foreign := frameV2(0, 0, 1, 1, 30, []byte{1, 2, 3, 4, 5, 6})
	for _, test := range []struct {
		rule     string
		head     []byte
		final    bool
		is, sure bool
	}{
		{"nothing yet", nil, false, false, false},
		{"text", []byte("time_us,aux2\n"), false, false, true},
		{"one good frame", frames["v1 HEARTBEAT armed"], false, true, true},
		{"one good frame with a time", stamped(1, frames["v2 RC_CHANNELS"]), false, true, true},
		{"half a frame", frames["v2 RC_CHANNELS"][:20], false, false, false},
		{"half a frame is all", frames["v2 RC_CHANNELS"][:20], true, false, true},
		{"a good frame after damage", join([]byte{0x77, 0, 5}, frames["v2 RC_CHANNELS"]), false, true, true},
		{"two foreign frames", join(foreign, foreign), false, false, false},
		{"one foreign frame is all", foreign, true, true, true},
		{"four foreign frames", join(foreign, foreign, foreign, foreign), false, true, true},
		{"a text in UTF-16", []byte("\xff\xfet\x00i\x00m\x00e\x00,\x00a\x00"), true, false, true},
	} {
		t.Run(test.rule, func(t *testing.T) {
			is, sure := Recognise(test.head, test.final)
			require.Equal(t, []bool{test.is, test.sure}, []bool{is, sure})
		})
	}
}
