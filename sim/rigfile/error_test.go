package rigfile_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim/rigfile"
)

// explain returns what is said about a file that is refused.
func explain(t *testing.T, text string) string {
	t.Helper()
	_, err := rigfile.Parse([]byte(text), "heron.toml")
	var list rigfile.Errors
	require.ErrorAs(t, err, &list)
	return list.Explain()
}

func TestErrors(t *testing.T) {
	tests := []struct{ rule, text, want string }{
		{"number where a duration is wanted", "[camera]\nlong_press = 1.5\n", `
heron.toml:2:14: camera.long_press: found 1.5, want a duration in quotes with its unit, such as "80ms" or "1.2s", or a range of two, ["60ms", "110ms"]
2 | long_press = 1.5
  |              ^
hint: write "1.5ms" for milliseconds, "1.5s" for seconds`},
		{"duration without a unit", "switch.settle = \"20\"", `
heron.toml:1:17: switch.settle: found "20", want a number with a unit, such as "80ms", "1.2s" or "250us"
1 | switch.settle = "20"
  |                 ^
hint: write "20ms" for milliseconds, "20s" for seconds`},
		{"unknown unit", "switch.settle = \"20 frames\"", `
heron.toml:1:17: switch.settle: found "20 frames", want a number with a unit, such as "80ms", "1.2s" or "250us"
1 | switch.settle = "20 frames"
  |                 ^`},
		{"negative duration", "[line]\ndelay = \"-1ms\"", `
heron.toml:2:9: line.delay: found "-1ms", want a duration that is not negative
2 | delay = "-1ms"
  |         ^`},
		{"wrong end of a range of durations", "[camera]\nmin_press = [\"60ms\", 110]", `
heron.toml:2:22: camera.min_press: found 110, want a duration in quotes with its unit, such as "80ms" or "1.2s"
2 | min_press = ["60ms", 110]
  |                      ^
hint: write "110ms" for milliseconds, "110s" for seconds`},
		{"range of three", "[camera]\nmin_press = [\"1ms\", \"2ms\", \"3ms\"]", `
heron.toml:2:13: camera.min_press: found an array of 3, want a duration in quotes with its unit, such as "80ms" or "1.2s", or a range of two, ["60ms", "110ms"]
2 | min_press = ["1ms", "2ms", "3ms"]
  |             ^`},
		{"text where a number is wanted", "switch.hysteresis = \"10\"", `
heron.toml:1:21: switch.hysteresis: found "10", want a number
1 | switch.hysteresis = "10"
  |                     ^`},
		{"an end that is missed behind a line that ends in CR LF", "s = [\"60ms\"\r\n", `
heron.toml:1:12: not valid TOML: array is incomplete
1 | s = ["60ms"
  |            ^`},
		{"number where a text is wanted", "[log]\nchannel = 7", `
heron.toml:2:11: log.channel: found 7, want a text in quotes
2 | channel = 7
  |           ^`},
		{"date where a text is wanted", "name = 1979-05-27", `
heron.toml:1:8: name: found a date or time, want a text in quotes
1 | name = 1979-05-27
  |        ^`},
		{"truth value where a word is wanted", "[line]\nactive = true", `
heron.toml:2:10: line.active: found true, want one of "high", "low"
2 | active = true
  |          ^`},
		{"number for a duration that may be never", "camera.wake_press = 3", `
heron.toml:1:21: camera.wake_press: found 3, want a duration in quotes with its unit, such as "80ms" or "1.2s", or "" for never
1 | camera.wake_press = 3
  |                     ^
hint: write "3ms" for milliseconds, "3s" for seconds`},
		{"word that is not accepted", "[camera]\ntoggle_on = \"relaese\"", `
heron.toml:2:13: camera.toggle_on: found "relaese", want one of "release", "press"
2 | toggle_on = "relaese"
  |             ^
hint: did you mean "release"?`},
		{"one range without the list's brackets", "[switch]\npress = [1250, 2250]", `
heron.toml:2:10: switch.press: found 1250, want a range such as [1250, 2250]
2 | press = [1250, 2250]
  |          ^
hint: a list of ranges has brackets of its own: [[1250, 2250]]`},
		{"range over several lines", "[switch]\npress = [\n  [900, 1100], # rest\n  [1250, \"top\"],\n]", `
heron.toml:4:10: switch.press: found "top", want a number
4 |   [1250, "top"],
  |          ^`},
		{"range with one end", "[switch]\nvalid = [750]", `
heron.toml:2:9: switch.valid: found an array of 1, want two pulse widths in µs, such as [750, 2250]
2 | valid = [750]
  |         ^`},
		{"no list of ranges at all", "log.armed_range = 1750", `
heron.toml:1:19: log.armed_range: found 1750, want a list of ranges in µs, such as [[1250, 2250]]
1 | log.armed_range = 1750
  |                   ^`},
		{"unknown key with a near one", "[camera]\nmin_pres = \"80ms\"", `
heron.toml:2:1: camera.min_pres: unknown key, want one of pressed_level, min_press, min_gap, long_press, toggle_on, long_action, long_fires, start_delay, stop_delay, boot, wake_press, wake_into, start, auto_off, double_within, double_action
2 | min_pres = "80ms"
  | ^
hint: did you mean min_press?`},
		{"unknown key in an inline table", "link = { frame = \"9ms\", lost = 0.1 }", `
heron.toml:1:25: link.lost: unknown key, want one of frame, loss
1 | link = { frame = "9ms", lost = 0.1 }
  |                         ^
hint: did you mean loss?`},
		{"key in the wrong table", "[switch]\nstale_after = \"1s\"", `
heron.toml:2:1: switch.stale_after: unknown key, want one of press, hysteresis, settle, valid
2 | stale_after = "1s"
  | ^
hint: stale_after stands in [signal_loss]`},
		{"key of the top in a table", "[log]\nname = \"Heron\"", `
heron.toml:2:1: log.name: unknown key, want one of time, unit, channel, scale, offset, armed, armed_range, words, armed_words, failsafe, failsafe_range, failsafe_words
2 | name = "Heron"
  | ^
hint: name stands at the top, above all tables`},
		{"key that is in two tables gives no home", "[oneshot]\nboot = \"1s\"", `
heron.toml:2:1: oneshot.boot: unknown key, want one of trigger, width, rest
2 | boot = "1s"
  | ^`},
		{"unknown table", "[camrea]\nmin_press = \"80ms\"", `
heron.toml:1:2: camrea: unknown key, want one of name, log, switch, signal_loss, link, oneshot, line, camera, doubt
1 | [camrea]
  |  ^
hint: did you mean camera?`},
		{"unknown key that needs quotes", "[link]\n\"µ s\" = 1", `
heron.toml:2:1: link."µ s": unknown key, want one of frame, loss
2 | "µ s" = 1
  | ^`},
		{"value where a table is wanted", "camera = \"80ms\"", `
heron.toml:1:10: camera: found "80ms", want a table, [camera]
1 | camera = "80ms"
  |          ^`},
		{"array of tables", "[[camera]]\nmin_press = 80", `
heron.toml:1:3: camera: found an array of 1, want a table, [camera]
1 | [[camera]]
  |   ^`},
		{"table where a value is wanted", "[camera.boot]\nfor = \"4s\"", `
heron.toml:1:9: camera.boot: found a table, want a duration in quotes with its unit, such as "80ms" or "1.2s"
1 | [camera.boot]
  |         ^`},
		{"rig that cannot work, key given", "[camera]\nmin_press = \"2s\"\nlong_press = \"1s\"", `
heron.toml:3:14: camera.long_press: found "1s" with min_press "2s": the press window is empty, want long_press above min_press
3 | long_press = "1s"
  |              ^`},
		{"rig that cannot work, key not given", "name = \"Heron\"\n  [camera]\nmin_press = \"2s\"", `
heron.toml:2:4: camera.long_press: found "1.5s" with min_press "2s": the press window is empty, want long_press above min_press
2 |   [camera]
  |    ^
hint: camera.long_press is not in the file, its default counts`},
		{"no echo in a table that holds an error", "[camera]\nmin_press = 80\nlong_press = \"50ms\"\n[link]\nloss = 1", `
heron.toml:2:13: camera.min_press: found 80, want a duration in quotes with its unit, such as "80ms" or "1.2s", or a range of two, ["60ms", "110ms"]
2 | min_press = 80
  |             ^
hint: write "80ms" for milliseconds, "80s" for seconds
heron.toml:5:8: link.loss: found 1, want a chance from 0 to less than 1
5 | loss = 1
  |        ^`},
		{"TOML that breaks off", "[camera]\nmin_press = ", `
heron.toml:2:12: not valid TOML: expected value, not end of input
2 | min_press = 
  |            ^`},
		{"key given twice", "[link]\nloss = 0\n\nloss = 0.5", `
heron.toml:4:1: not valid TOML: key loss is already defined
4 | loss = 0.5
  | ^`},
		{"table given twice", "[link]\r\n[link]\r\n", `
heron.toml:2:2: not valid TOML: table link already exists
2 | [link]
  |  ^`},
		{"quotes that do not close", "name = \"Heron\n", `
heron.toml:1:14: not valid TOML: basic strings cannot have new lines
1 | name = "Heron
  |              ^`},
		{"not UTF-8", "# \xb5s\nname = \"Heron\"", `
heron.toml:1:3: found byte 0xb5, want UTF-8 text
1 | # ·s
  |   ^
hint: save the file with the encoding UTF-8`},
		{"columns count characters", "name = \"Graureiher über Zürich\"; x = 1", `
heron.toml:1:32: not valid TOML: expected newline but got U+003B ';'
1 | name = "Graureiher über Zürich"; x = 1
  |                                ^`},
		{"the caret stands below wide characters", "name = \"灰鷺\" 1", `
heron.toml:1:13: not valid TOML: expected newline but got U+0031 '1'
1 | name = "灰鷺" 1
  |               ^`},
		{"a byte order mark has no column", "\ufeffx = 1", `
heron.toml:1:1: x: unknown key, want one of name, log, switch, signal_loss, link, oneshot, line, camera, doubt
1 | x = 1
  | ^`},
		{"a chance that is certain", "[doubt]\nforeign = 1", `
heron.toml:2:11: doubt.foreign: found 1, want a chance from 0 to less than 1
2 | foreign = 1
  |           ^`},
		{"a word for a truth", "[doubt]\nsampled = \"no\"", `
heron.toml:2:11: doubt.sampled: found "no", want true or false
2 | sampled = "no"
  |           ^`},
		{"a tab is one column", "[link]\n\tloss = 2", `
heron.toml:2:9: link.loss: found 2, want a chance from 0 to less than 1
2 |  loss = 2
  |         ^`},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			assert.Equal(t, strings.TrimPrefix(test.want, "\n"), explain(t, test.text))
		})
	}
}

func TestErrorsComeInFileOrder(t *testing.T) {
	_, err := rigfile.Parse([]byte("[link]\nloss = 2\n[switch]\nvalid = [5, 5]\nz = 1\n[log]\nscale = 0\n"), "heron.toml")
	require.EqualError(t, err, `heron.toml:2:8: link.loss: found 2, want a chance from 0 to less than 1
heron.toml:5:1: switch.z: unknown key, want one of press, hysteresis, settle, valid
heron.toml:7:9: log.scale: found 0, want a number other than 0`)
	var first *rigfile.Error
	require.ErrorAs(t, err, &first)
	assert.Equal(t, 2, first.Line)
	assert.Equal(t, 8, first.Column)
	assert.Equal(t, "link.loss", first.Key)
}

func TestErrorHidesWhatATerminalWouldActOn(t *testing.T) {
	for name, text := range map[string]string{
		"in a value":       "line.boot = \"\\u001b[2J\"",
		"in a key":         "\"\\u001b[2J\" = 1",
		"in a key twice":   "\"\\u001b\" = 1\n\"\\u001b\" = 1",
		"raw":              "name = \x1b",
		"in an excerpt":    "x = \"\u202e\u0085\"",
		"a carriage alone": "x = 1\ry = 2",
	} {
		t.Run(name, func(t *testing.T) {
			for line := range strings.Lines(explain(t, text)) {
				line = strings.TrimSuffix(line, "\n")
				assert.NotRegexp(t, `[\x00-\x1f\x7f-\x{9f}\x{202e}]`, line)
			}
		})
	}
}

func TestErrorIsShortForAnyFile(t *testing.T) {
	long := strings.Repeat("ü", 20000)
	for name, text := range map[string]string{
		"long value": "line.boot = \"" + long + "\" # and more",
		"long key":   "\"" + long + "\" = 1",
		"far column": "name = \"" + long + "\" 1",
	} {
		t.Run(name, func(t *testing.T) {
			assert.Less(t, len([]rune(explain(t, text))), 1000)
		})
	}
}

func TestTooLargeFileIsRefused(t *testing.T) {
	fits := "# " + strings.Repeat("x", 64<<10-2)
	mustParse(t, fits)
	_, err := rigfile.Parse([]byte(fits+"x"), "heron.toml")
	require.EqualError(t, err, "heron.toml:1:1: found 65537 bytes, want a rig file of at most 65536")
}

func TestErrorsUnwrap(t *testing.T) {
	_, err := rigfile.Parse([]byte("x = 1\ny = 2"), "heron.toml")
	var list rigfile.Errors
	require.True(t, errors.As(err, &list))
	require.Len(t, list, 2)
	assert.ErrorIs(t, err, list[1])
}
