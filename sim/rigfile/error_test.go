package rigfile_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

// explain returns the explanation of why a file is refused.
func explain(t *testing.T, text string) string {
	t.Helper()
	_, err := rigfile.Parse([]byte(text), "heron.toml")
	var list rigfile.Errors
	require.ErrorAs(t, err, &list)
	return problem.Explain(list)
}

func TestErrors(t *testing.T) {
	tests := []struct{ rule, text, want string }{
		{"number where a duration is wanted", "[camera]\nlong_press = 1.5\n", `
camera.long_press: found 1.5, want a duration in quotes with its unit, such as "80ms" or "1.2s", or a range of two, ["60ms", "110ms"]
  line 2, column 14 of heron.toml reads: long_press = »1.5
  → write "1.5ms" for milliseconds, "1.5s" for seconds`},
		{"duration without a unit", "switch.settle = \"20\"", `
switch.settle: found "20", want a number with a unit, such as "80ms", "1.2s" or "250us"
  line 1, column 17 of heron.toml reads: switch.settle = »"20"
  → write "20ms" for milliseconds, "20s" for seconds`},
		{"unknown unit", "switch.settle = \"20 frames\"", `
switch.settle: found "20 frames", want a number with a unit, such as "80ms", "1.2s" or "250us"
  line 1, column 17 of heron.toml reads: switch.settle = »"20 frames"`},
		{"negative duration", "[line]\ndelay = \"-1ms\"", `
line.delay: found "-1ms", want a duration that is not negative
  line 2, column 9 of heron.toml reads: delay = »"-1ms"`},
		{"wrong end of a range of durations", "[camera]\nmin_press = [\"60ms\", 110]", `
camera.min_press: found 110, want a duration in quotes with its unit, such as "80ms" or "1.2s"
  line 2, column 22 of heron.toml reads: min_press = ["60ms", »110]
  → write "110ms" for milliseconds, "110s" for seconds`},
		{"range of three", "[camera]\nmin_press = [\"1ms\", \"2ms\", \"3ms\"]", `
camera.min_press: found an array of 3, want a duration in quotes with its unit, such as "80ms" or "1.2s", or a range of two, ["60ms", "110ms"]
  line 2, column 13 of heron.toml reads: min_press = »["1ms", "2ms", "3ms"]`},
		{"text where a number is wanted", "switch.hysteresis = \"10\"", `
switch.hysteresis: found "10", want a number
  line 1, column 21 of heron.toml reads: switch.hysteresis = »"10"`},
		{"an end that is missed behind a line that ends in CR LF", "s = [\"60ms\"\r\n", `
not valid TOML: array is incomplete
  line 1, column 12 of heron.toml reads: s = ["60ms"»`},
		{"number where a text is wanted", "[log]\nchannel = 7", `
log.channel: found 7, want text in quotes
  line 2, column 11 of heron.toml reads: channel = »7`},
		{"date where a text is wanted", "name = 1979-05-27", `
name: found a date or time, want text in quotes
  line 1, column 8 of heron.toml reads: name = »1979-05-27`},
		{"truth value where a word is wanted", "[line]\nactive = true", `
line.active: found true, want one of "high", "low"
  line 2, column 10 of heron.toml reads: active = »true`},
		{"number for a duration that may be never", "camera.wake_press = 3", `
camera.wake_press: found 3, want a duration in quotes with its unit, such as "80ms" or "1.2s", or "" for never
  line 1, column 21 of heron.toml reads: camera.wake_press = »3
  → write "3ms" for milliseconds, "3s" for seconds`},
		{"word that is not accepted", "[camera]\ntoggle_on = \"relaese\"", `
camera.toggle_on: found "relaese", want one of "release", "press"
  line 2, column 13 of heron.toml reads: toggle_on = »"relaese"
  → try "release"`},
		{"one range without the list's brackets", "[switch]\npress = [1250, 2250]", `
switch.press: found 1250, want a range such as [1250, 2250]
  line 2, column 10 of heron.toml reads: press = [»1250, 2250]
  → a list of ranges needs brackets of its own: [[1250, 2250]]`},
		{"range over several lines", "[switch]\npress = [\n  [900, 1100], # rest\n  [1250, \"top\"],\n]", `
switch.press: found "top", want a number
  line 4, column 10 of heron.toml reads:   [1250, »"top"],`},
		{"range with one end", "[switch]\nvalid = [750]", `
switch.valid: found an array of 1, want two pulse widths in µs, such as [750, 2250]
  line 2, column 9 of heron.toml reads: valid = »[750]`},
		{"no list of ranges at all", "log.armed_range = 1750", `
log.armed_range: found 1750, want a list of ranges in µs, such as [[1250, 2250]]
  line 1, column 19 of heron.toml reads: log.armed_range = »1750`},
		{"unknown key with a near one", "[camera]\nmin_pres = \"80ms\"", `
camera.min_pres: unknown key, want one of pressed_level, min_press, min_gap, long_press, toggle_on, long_action, long_fires, start_delay, stop_delay, boot, wake_press, wake_into, start, auto_off, double_within, double_action
  line 2, column 1 of heron.toml reads: »min_pres = "80ms"
  → try min_press`},
		{"unknown key in an inline table", "link = { frame = \"9ms\", lost = 0.1 }", `
link.lost: unknown key, want one of frame, loss
  line 1, column 25 of heron.toml reads: link = { frame = "9ms", »lost = 0.1 }
  → try loss`},
		{"key in the wrong table", "[switch]\nstale_after = \"1s\"", `
switch.stale_after: unknown key, want one of press, hysteresis, settle, valid
  line 2, column 1 of heron.toml reads: »stale_after = "1s"
  → stale_after belongs in [signal_loss]`},
		{"key of the top in a table", "[log]\nname = \"Heron\"", `
log.name: unknown key, want one of time, unit, channel, scale, offset, armed, armed_range, words, armed_words, failsafe, failsafe_range, failsafe_words
  line 2, column 1 of heron.toml reads: »name = "Heron"
  → name belongs at the top, above all tables`},
		{"key that is in two tables gives no home", "[oneshot]\nboot = \"1s\"", `
oneshot.boot: unknown key, want one of trigger, width, rest
  line 2, column 1 of heron.toml reads: »boot = "1s"`},
		{"unknown table", "[camrea]\nmin_press = \"80ms\"", `
camrea: unknown key, want one of name, log, switch, signal_loss, link, oneshot, line, camera, doubt
  line 1, column 2 of heron.toml reads: [»camrea]
  → try camera`},
		{"unknown key that needs quotes", "[link]\n\"µ s\" = 1", `
link."µ s": unknown key, want one of frame, loss
  line 2, column 1 of heron.toml reads: »"µ s" = 1`},
		{"value where a table is wanted", "camera = \"80ms\"", `
camera: found "80ms", want a table, [camera]
  line 1, column 10 of heron.toml reads: camera = »"80ms"`},
		{"array of tables", "[[camera]]\nmin_press = 80", `
camera: found an array of 1, want a table, [camera]
  line 1, column 3 of heron.toml reads: [[»camera]]`},
		{"table where a value is wanted", "[camera.boot]\nfor = \"4s\"", `
camera.boot: found a table, want a duration in quotes with its unit, such as "80ms" or "1.2s"
  line 1, column 9 of heron.toml reads: [camera.»boot]`},
		{"rig that cannot work, key given", "[camera]\nmin_press = \"2s\"\nlong_press = \"1s\"", `
camera.long_press: found "1s" with min_press "2s": the press window is empty, want long_press above min_press
  line 3, column 14 of heron.toml reads: long_press = »"1s"`},
		{"rig that cannot work, key not given", "name = \"Heron\"\n  [camera]\nmin_press = \"2s\"", `
camera.long_press: found "1.5s" with min_press "2s": the press window is empty, want long_press above min_press
  line 2, column 4 of heron.toml reads:   [»camera]
  → camera.long_press is not in the file, so its default applies`},
		{"no echo in a table that holds an error", "[camera]\nmin_press = 80\nlong_press = \"50ms\"\n[link]\nloss = 1", `
camera.min_press: found 80, want a duration in quotes with its unit, such as "80ms" or "1.2s", or a range of two, ["60ms", "110ms"]
  line 2, column 13 of heron.toml reads: min_press = »80
  → write "80ms" for milliseconds, "80s" for seconds
link.loss: found 1, want a chance from 0 to less than 1
  line 5, column 8 of heron.toml reads: loss = »1`},
		{"TOML that breaks off", "[camera]\nmin_press = ", `
not valid TOML: expected value, not end of input
  line 2, column 12 of heron.toml reads: min_press =» `},
		{"key given twice", "[link]\nloss = 0\n\nloss = 0.5", `
not valid TOML: key loss is already defined
  line 4, column 1 of heron.toml reads: »loss = 0.5`},
		{"table given twice", "[link]\r\n[link]\r\n", `
not valid TOML: table link already exists
  line 2, column 2 of heron.toml reads: [»link]`},
		{"quotes that do not close", "name = \"Heron\n", `
not valid TOML: basic strings cannot have new lines
  line 1, column 14 of heron.toml reads: name = "Heron»`},
		{"not UTF-8", "# \xb5s\nname = \"Heron\"", `
found byte 0xb5, want UTF-8 text
  line 1, column 3 of heron.toml reads: # »·s
  → save the file with the encoding UTF-8`},
		{"columns count characters", "name = \"Graureiher über Zürich\"; x = 1", `
not valid TOML: expected newline but got U+003B ';'
  line 1, column 32 of heron.toml reads: name = "Graureiher über Zürich"»; x = 1`},
		{"the mark stands among wide characters", "name = \"灰鷺\" 1", `
not valid TOML: expected newline but got U+0031 '1'
  line 1, column 13 of heron.toml reads: name = "灰鷺" »1`},
		{"a byte order mark has no column", "\ufeffx = 1", `
x: unknown key, want one of name, log, switch, signal_loss, link, oneshot, line, camera, doubt
  line 1, column 1 of heron.toml reads: »x = 1`},
		{"a chance that is certain", "[doubt]\nforeign = 1", `
doubt.foreign: found 1, want a chance from 0 to less than 1
  line 2, column 11 of heron.toml reads: foreign = »1`},
		{"a word for a truth", "[doubt]\nsampled = \"no\"", `
doubt.sampled: found "no", want true or false
  line 2, column 11 of heron.toml reads: sampled = »"no"`},
		{"a tab is one column", "[link]\n\tloss = 2", `
link.loss: found 2, want a chance from 0 to less than 1
  line 2, column 9 of heron.toml reads:  loss = »2`},
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
