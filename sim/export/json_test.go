package export

import (
	"encoding/json"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/benchcard"
	"flicktally/sim/fit"
	"flicktally/sim/flight"
	"flicktally/sim/live"
	"flicktally/sim/odds"
	"flicktally/sim/rigcheck"
	"flicktally/sim/rigfile"
	"flicktally/sim/stat"
	"flicktally/sim/tell"
)

// judged judges one flight.
func judged(t *testing.T, f flight.Flight, seen belief.Observations) []flight.Flight {
	t.Helper()
	f.Segments = 1
	flights := []flight.Flight{f}
	require.NoError(t, flight.Judge(flights, tell.DefaultLimits(), seen))
	return flights
}

// object is a JSON object whose values are not decoded.
type object map[string]json.RawMessage

// objectIn reads the object that is written, which must have the schema number.
func objectIn(t *testing.T, write func(io.Writer) error) object {
	t.Helper()
	var o object
	require.NoError(t, json.Unmarshal([]byte(written(t, write)), &o))
	require.Equal(t, "1", string(o["schema"]))
	return o
}

// in returns a member that is an object.
func (o object) in(t *testing.T, key string) object {
	t.Helper()
	var inner object
	require.NoError(t, json.Unmarshal(o[key], &inner))
	return inner
}

// list returns a member that is a list of objects.
func (o object) list(t *testing.T, key string) []object {
	t.Helper()
	var inner []object
	require.NoError(t, json.Unmarshal(o[key], &inner), key)
	return inner
}

func replayJSON(t *testing.T, flights []flight.Flight) object {
	return objectIn(t, func(w io.Writer) error { return Replays(w, flights) })
}

// A log without an armed column, replayed with exact thresholds, has no armed time and
// nothing that is unknown. The camera ignores 0.2 % of presses (the rig's default).
func TestReplayJSON(t *testing.T) {
	o := replayJSON(t, judged(t, regatta(nil), belief.Observations{}))
	require.JSONEq(t, `{"file": "regatta.csv", "samples": 1400, "duration_us": 13990000, "segment": 1, "segments": 1, "step_us": 10000}`, string(o["log"]))
	require.JSONEq(t, `{"name": "Heron"}`, string(o["rig"]))
	require.JSONEq(t, `{"n": 2, "down_us": 6250000, "up_us": 6290000, "outcome": "short", "press": 2}`, mustJSON(t, o.list(t, "flicks")[1]))
	require.JSONEq(t, `{"n": 1, "down_us": 2000000, "up_us": 2250000, "hold_us": 250000, "hand_bounds_us": [240000, 260000], "from_start": false,
		"verdict": "toggle", "chance": 0.998, "acts_us": 2250000, "state_after": "starting"}`, mustJSON(t, o.list(t, "presses")[0]))
	require.NotContains(t, o.list(t, "presses")[1], "acts_us", "a press that is too short does not act")
	require.JSONEq(t, `[{"at_us": 2250000, "to": "recording"}, {"at_us": 8300000, "to": "standby"}, {"at_us": 11580000, "to": "recording"}]`, string(o["toggles"]))
	require.JSONEq(t, `{"at_us": 2550000, "state": "recording"}`, mustJSON(t, o.list(t, "states")[2]))
	require.JSONEq(t, `[{"n": 1, "start_us": 2550000, "end_us": 8300000, "end": "press"}, {"n": 2, "start_us": 11880000, "end_us": 13990000, "end": "log-end"}]`, string(o["takes"]))
	finding := o.list(t, "findings")[0]
	require.Equal(t, `"short-press" 6250000 6250000 1 2 true`, strings.Join([]string{string(finding["code"]), string(finding["at_us"]),
		string(finding["to_us"]), string(finding["count"]), string(finding["press"]), string(finding["costs"])}, " "))
	for _, absent := range []string{"armed", "belief", "known", "card"} {
		require.NotContains(t, o, absent)
	}
}

// What a log adds: armed time, lines that were left out, notes, and how the card was
// read. A log of changes has no step.
func TestReplayJSONOfMoreThanSamples(t *testing.T) {
	f := regatta(func(r *sim.Rig) { r.Log.Armed = "arm" })
	f.Reading = sim.Reading{OnChange: true, SkippedLines: 3, TornLines: 1, Odd: []string{"odd"}}
	f.Card = []string{"two files"}
	o := replayJSON(t, judged(t, f, belief.Observations{}))
	require.JSONEq(t, `{"file": "regatta.csv", "samples": 1400, "duration_us": 13990000, "segment": 1, "segments": 1,
		"skipped_lines": 3, "torn_lines": 1, "notes": ["odd"]}`, string(o["log"]))
	require.JSONEq(t, `{"windows": [{"start_us": 0, "end_us": 13990000}], "armed_us": 13990000, "recorded_us": 7860000}`, string(o["armed"]),
		"5.75 and 2.11 s of takes")
	require.JSONEq(t, `["two files"]`, string(o["card"]))
}

// A press that is held when the log ends has no end, and neither has its flick.
func TestReplayJSONOfAnOpenPress(t *testing.T) {
	chain := sim.NewChain(sim.TapChannel, sim.DefaultRig())
	chain.FeedAll([]sim.Sample{{At: 0, Channel: 1000, Armed: sim.Absent}, {At: 10 * ms, Channel: 2000, Armed: sim.Absent}, {At: 20 * ms, Channel: 2000, Armed: sim.Absent}})
	o := replayJSON(t, judged(t, flight.Flight{File: "-", Segment: 1, Replay: chain.Finish()}, belief.Observations{}))
	flick, press := o.list(t, "flicks")[0], o.list(t, "presses")[0]
	require.Equal(t, "10000", string(flick["down_us"]))
	require.NotContains(t, flick, "up_us")
	for _, absent := range []string{"up_us", "hold_us", "acts_us"} {
		require.NotContains(t, press, absent)
	}
	for _, empty := range []string{"toggles", "takes"} {
		require.Equal(t, "[]", string(o[empty]), "an empty list, not null")
	}
}

// What is known: the clips with their takes, a length only if the clip has one, and
// the threshold as far as the clips narrow it.
func TestReplayJSONOfAFlightInDoubt(t *testing.T) {
	inDoubt := regatta(func(r *sim.Rig) { r.Camera.MinPress = sim.Interval{Low: 20 * ms, High: 60 * ms} })
	flights := judged(t, inDoubt, belief.Observations{
		Seen:  []belief.Glance{{At: 3 * sim.Second, Light: belief.LightRecording}},
		Clips: []belief.Clip{{Name: "LAKE0001.MP4", Length: 5750 * ms}, {NoLength: true}},
	})
	o := replayJSON(t, flights)
	known := o.in(t, "known")
	require.JSONEq(t, `[{"clip": 1, "name": "LAKE0001.MP4", "length_us": 5750000, "take": 1}, {"clip": 2, "take": 2}]`, string(known["clips"]))
	require.Equal(t, "[]", string(known["ask"]))
	require.JSONEq(t, `[1500000, 1500000]`, string(known["long_press_us"]))
	require.JSONEq(t, `{"from_us": 0, "to_us": 2550000, "recording": 0, "recording_to": 0}`, mustJSON(t, o.list(t, "belief")[0]))

	found := objectIn(t, func(w io.Writer) error { return FoundWindow(w, flights, flight.FoundWindow(flights)) })
	require.Equal(t, "1 2", string(found["flights"])+" "+string(found["clips"]))
	minPress := found.in(t, "min_press")
	require.JSONEq(t, `{"low_us": 20000, "high_us": 60000}`, string(minPress["looked_for_us"]))
	require.Equal(t, "60000 true", string(minPress["high_us"])+" "+string(minPress["told"]))
	var low sim.Micros
	require.NoError(t, json.Unmarshal(minPress["low_us"], &low))
	require.True(t, low > 30*ms && low <= 40*ms, "the hold of 40 ms, logged every 10 ms, was too short: %v", low)
	require.JSONEq(t, mustJSON(t, []any{low, 60 * ms}), string(known["min_press_us"]))
	require.Equal(t, "false", string(found.in(t, "long_press")["told"]))
}

// An observation to make is a look at the light or a count of the clips.
func TestQuestionsInJSON(t *testing.T) {
	open := regatta(func(r *sim.Rig) { r.Camera.MinPress = sim.Interval{Low: 20 * ms, High: 60 * ms} })
	known := replayJSON(t, judged(t, open, belief.Observations{})).in(t, "known")
	require.NotContains(t, known, "clips")
	light := known.list(t, "ask")[0]
	require.Equal(t, `"light"`, string(light["what"]))
	require.JSONEq(t, `{"what": "light", "at_us": 2, "from_us": 1, "to_us": 3, "bits": 0.5, "recording": 0.25}`,
		mustJSON(t, toJSONAsk(belief.Question{At: 2, From: 1, To: 3, Gain: 0.5, Recording: 0.25})))
	require.JSONEq(t, `{"what": "clip-count", "bits": 0.333333}`, mustJSON(t, toJSONAsk(belief.Question{CountClips: true, Gain: 1.0 / 3})))
}

// One flight is an object, several are an array.
func TestSeveralFlightsAreAnArray(t *testing.T) {
	one := judged(t, regatta(nil), belief.Observations{})
	text := written(t, func(w io.Writer) error { return Replays(w, append(one, one...)) })
	var all []object
	require.NoError(t, json.Unmarshal([]byte(text), &all))
	require.Len(t, all, 2)
}

// Names keep their characters, but nothing in them reaches a terminal as a control
// code.
func TestNamesInJSON(t *testing.T) {
	f := regatta(nil)
	f.File = "a<b>&\u202e\u009b.csv"
	text := written(t, func(w io.Writer) error { return Replays(w, judged(t, f, belief.Observations{})) })
	require.Contains(t, text, `"file": "a<b>&\u202e\u009b.csv"`)
}

func TestComparisonJSON(t *testing.T) {
	heron := func(change func(*sim.Rig)) flight.Flight {
		return regatta(func(r *sim.Rig) {
			r.Log.Armed = "arm"
			change(r)
		})
	}
	a, b := heron(func(*sim.Rig) {}), heron(func(r *sim.Rig) { r.Camera.MinPress = sim.Exactly(30 * ms) })
	c := flight.Comparison{
		Rigs: []flight.ComparedRig{
			{Letter: "A", File: "heron.toml", Rig: a.Replay.Rig},
			{Letter: "B", File: "heron.toml", Change: "camera.min_press = 30ms", Rig: b.Replay.Rig, Differs: rigfile.Differences(a.Replay.Rig, b.Replay.Rig)},
		},
		Flights:  []flight.Flight{a, b},
		Outcomes: []tell.Outcome{tell.OutcomeOf(a.Replay, a.Findings), tell.OutcomeOf(b.Replay, b.Findings)},
	}
	write := func(w io.Writer) error { return Comparisons(w, []flight.Comparison{c}) }
	o := objectIn(t, write)
	require.Contains(t, string(o["log"]), `"regatta.csv"`)
	rigs := o.list(t, "rigs")
	require.Len(t, rigs, 2)
	for key, want := range map[string][2]string{
		"letter":          {`"A"`, `"B"`},
		"rig":             {`"heron.toml"`, `"heron.toml with camera.min_press = 30ms"`},
		"differs":         {`[]`, `[{"key": "camera.min_press", "first": "\"80ms\"", "here": "\"30ms\""}]`},
		"presses":         {`4`, `4`},
		"toggles":         {`3`, `4`},
		"recorded_us":     {`7860000`, `6720000`},
		"armed_missed_us": {`6130000`, `7270000`},
		"flicks":          {`{"count": 4, "toggled": 3, "why": {"short": 1}}`, `{"count": 4, "toggled": 4, "why": {}}`},
		"gained":          {`[]`, `[{"start_us": 8600000, "end_us": 11580000}]`},
		"lost":            {`[]`, `[{"start_us": 6290000, "end_us": 8300000}, {"start_us": 11880000, "end_us": 13990000}]`},
	} {
		require.JSONEq(t, want[0], string(rigs[0][key]), key)
		require.JSONEq(t, want[1], string(rigs[1][key]), key)
	}
	require.Equal(t, "1", string(rigs[0].in(t, "finding_counts")["short-press"]))
	require.NotContains(t, rigs[1].in(t, "finding_counts"), "short-press")

	c.Flights[0].Replay.Armed, c.Flights[1].Replay.Armed = nil, nil
	require.NotContains(t, objectIn(t, write).list(t, "rigs")[0], "armed_missed_us")
}

func TestRigCheckAndBenchJSON(t *testing.T) {
	rig := regatta(nil).Replay.Rig
	report := rigcheck.Check(rig, rigcheck.DefaultWithin)
	o := objectIn(t, func(w io.Writer) error { return RigCheck(w, rig, report) })
	require.JSONEq(t, `{"holds_from_us": 80000, "holds_to_us": 1499999, "single_move": false, "stop_us": 650000, "restart_us": 550000}`, string(o["figures"]))
	require.JSONEq(t, `[{"from_us": 0, "to_us": 80000, "effect": "nothing"}, {"from_us": 80000, "to_us": 1500000, "effect": "toggles"},
		{"from_us": 1500000, "effect": "long"}]`, string(o["zones"]))
	require.Equal(t, "350000", string(o["aim_us"]), "√(80 · 1500) ms, in steps of 10 ms")
	require.Len(t, o.list(t, "findings"), len(report.Findings))
	held := o.list(t, "findings")[0]
	require.Equal(t, `"loss-holds-press" false`, string(held["code"])+" "+string(held["fault"]))
	require.Contains(t, mustJSON(t, held), `[{"key":"signal_loss.then","from":"\"hold\"","to":"\"release\""}]`)

	card := objectIn(t, func(w io.Writer) error { return Bench(w, rig, benchcard.New(rig, report, nil)) })
	require.Equal(t, "350000", string(card["aim_us"]))
	require.Contains(t, string(card["cautions"]), "Propellers are off.")
	first := card.list(t, "parts")[0]
	require.Contains(t, string(first["title"]), "Before wiring")
	require.NotContains(t, first, "trials")
	steps := first.list(t, "steps")
	require.Equal(t, `"file"`, string(steps[0]["note"]))
	require.NotContains(t, steps[2], "note", "nothing is written down")
	trials := card.list(t, "parts")[4].list(t, "trials")
	require.JSONEq(t, `{"n": 1, "for": "min_press", "hold_us": 40000}`, mustJSON(t, trials[0]))
}

// A rig whose holds do not matter has no aim, and one on which no flick works has no
// figures. Times that do not exist are left out.
func TestRigCheckJSONOfARigThatLacksFigures(t *testing.T) {
	single := sim.DefaultRig()
	single.OneShot.Trigger = sim.TriggerBoth
	write := func(rig sim.Rig, r rigcheck.Report) object {
		return objectIn(t, func(w io.Writer) error { return RigCheck(w, rig, r) })
	}
	o := write(single, rigcheck.Report{Figures: &rigcheck.Figures{SingleMove: true, Holds: sim.Interval{Low: 2, High: 1}, Stop: sim.Never, Restart: sim.Never}})
	require.NotContains(t, o, "aim_us")
	require.JSONEq(t, `{"single_move": true}`, string(o["figures"]))
	require.Equal(t, "[]", string(o["findings"]))
	require.NotContains(t, write(single, rigcheck.Report{}), "figures")
}

// A hold of 90 ms with a standard deviation of 20 ms reaches 80 ms with the chance
// Φ(½) = 0.691462 (any table of the normal distribution), three of three with its cube.
// The interval of 1 in 29 is that of Newcombe, Statistics in Medicine 17 (1998), table I,
// method 3: 0.0061 to 0.1718 (from memory).
func TestOddsJSON(t *testing.T) {
	q := odds.Query{
		Case: odds.Case{Rig: regatta(nil).Replay.Rig, Pilot: odds.Pilot{Spread: odds.Spread{Fixed: 20 * ms}}},
		Hold: 90 * ms, Source: "given", Slips: stat.Rate{Hits: 1, Trials: 29}, Flicks: 3, Wanted: 0.99, Sampling: odds.Sampling{Flicks: 500, Seed: 7},
	}
	report := q.Report()
	o := objectIn(t, func(w io.Writer) error { return Odds(w, report) })
	require.JSONEq(t, `{"spread_us": 20000, "spread_of_hold": 0, "source": "given", "travel_us": 0, "bounce_us": 0}`, string(o["pilot"]))
	require.Equal(t, `"formula" 7 0.99 3`, strings.Join([]string{string(o["method"]), string(o["seed"]), string(o["wanted"]), string(o["flight_flicks"])}, " "))
	require.JSONEq(t, `{"count": 1, "of": 29, "rate": 0.034483, "low": 0.006113, "high": 0.171755}`, string(o["slips"]))
	require.JSONEq(t, `{"hold_us": 90000, "toggles": 0.691462, "missed": 0.000003, "short": 0.308534, "long": 0, "twice": 0, "flight": 0.330602}`, string(o["now"]))
	require.Equal(t, "350000", string(o.in(t, "aim")["hold_us"]))
	require.NotContains(t, o, "best", "no other hold saves a flick")
	band := o.in(t, "band")
	require.Equal(t, "126527 false false", string(band["low_us"])+" "+string(band["low_open"])+" "+string(band["high_open"]), "80 + 2.326 · 20 ms")
	require.Len(t, o.list(t, "curve"), len(report.Study.Curve))
	require.NotZero(t, o.list(t, "check")[0]["simulated"])
	change := o.list(t, "changes")[0]
	require.Equal(t, `"aim" "90 ms" "350 ms" 0.308538 true 1`, strings.Join([]string{string(change["what"]), string(change["from"]), string(change["to"]),
		string(change["saves"]), string(change["sure"]), string(change["toggles_then"])}, " "))
	require.NotContains(t, change, "standard_error", "a formula has none")
}

// Where contacts bounce the odds are simulated, and a rig whose holds do not matter has
// neither aim nor band to name.
func TestOddsJSONOfASimulation(t *testing.T) {
	rig := regatta(nil).Replay.Rig
	q := odds.Query{Case: odds.Case{Rig: rig, Pilot: odds.Pilot{Spread: odds.Spread{Fixed: 20 * ms}, Bounce: 6 * ms}}, Flicks: 1, Wanted: 0.99}
	at := odds.At{Hold: 90 * ms, Answer: odds.Answer{Chances: odds.Chances{odds.Toggles: 0.75, odds.Short: 0.25}, Simulated: 300}}
	report := odds.Report{Query: &q, Study: odds.Study{Aim: at, Best: at}, Saves: 0.1, Table: []odds.At{at}, Flights: []odds.FlightChance{{Chance: 0.5, Simulated: 200}}}
	o := objectIn(t, func(w io.Writer) error { return Odds(w, &report) })
	require.Equal(t, `"simulation"`, string(o["method"]))
	require.JSONEq(t, `{"hold_us": 90000, "toggles": 0.75, "missed": 0, "short": 0.25, "long": 0, "twice": 0, "standard_error": 0.025, "simulated": 300,
		"flight": 0.5, "flights_simulated": 200, "saves": 0.1}`, string(o["best"]), "√(¾ · ¼ / 300) = 0.025")
	for _, absent := range []string{"now", "band", "slips", "check"} {
		require.NotContains(t, o, absent)
	}
	q.Case.Rig.OneShot.Trigger = sim.TriggerBoth
	require.NotContains(t, objectIn(t, func(w io.Writer) error { return Odds(w, &report) }), "aim")
}

// windowOf fits trials and writes the result.
func windowOf(t *testing.T, trials []fit.Trial) object {
	t.Helper()
	window, err := fit.Fit(trials, fit.Options{})
	require.NoError(t, err)
	return objectIn(t, func(w io.Writer) error { return Window(w, window, fit.DefaultGoal) })
}

// Two trials bound min_press from both sides and leave long_press open above.
func TestWindowJSON(t *testing.T) {
	o := windowOf(t, []fit.Trial{{Hold: 100 * ms, Outcome: fit.Nothing}, {Hold: 200 * ms, Outcome: fit.Toggled}})
	require.Equal(t, `2 "logistic" 0.95`, string(o["trials"])+" "+string(o["shape"])+" "+string(o["confidence"]))
	low := o.in(t, "min_press")
	require.JSONEq(t, `{"low_us": 100000, "high_us": 200000}`, string(low["bracket_us"]))
	require.Equal(t, "false []", string(low["falls"])+" "+string(low["contradicting_trials"]))
	require.NotContains(t, low, "jitter_us")
	require.NotContains(t, low, "curve")
	require.JSONEq(t, `{"low_us": 200000, "bracket_us": {"low_us": 200000}, "falls": false, "contradicting_trials": []}`, string(o["long_press"]))
	require.Equal(t, `"min_press"`, string(o.in(t, "next")["for"]))
}

// Trials that contradict each other give a jitter and a curve instead of a bracket.
func TestWindowJSONOfTrialsThatContradict(t *testing.T) {
	o := windowOf(t, []fit.Trial{
		{Hold: 60 * ms, Outcome: fit.Nothing}, {Hold: 80 * ms, Outcome: fit.Toggled}, {Hold: 90 * ms, Outcome: fit.Nothing}, {Hold: 110 * ms, Outcome: fit.Toggled},
	})
	low := o.in(t, "min_press")
	require.Equal(t, "[2,3]", strings.Join(strings.Fields(string(low["contradicting_trials"])), ""))
	require.NotContains(t, low, "bracket_us")
	require.Contains(t, low, "jitter_us")
	require.JSONEq(t, `[null, null]`, string(low.in(t, "curve")["fieller_s"]), "the slope is not certain, so the interval has no ends")
	for _, key := range []string{"intercept", "slope_per_s", "covariance", "threshold_se_s", "deviance", "degrees_of_freedom"} {
		require.Contains(t, low.in(t, "curve"), key)
	}
}

// With as many trials as wanted, none is next.
func TestWindowJSONWithoutANextTrial(t *testing.T) {
	window, err := fit.Fit([]fit.Trial{{Hold: 100 * ms, Outcome: fit.Nothing}}, fit.Options{})
	require.NoError(t, err)
	require.NotContains(t, objectIn(t, func(w io.Writer) error { return Window(w, window, fit.Goal{Width: ms, Trials: 1}) }), "next")
}

// Each line of a live flight is one JSON object. What is not known is null.
func TestLiveJSON(t *testing.T) {
	v := live.View{Input: live.Waiting, State: sim.StateUnknown, SafeAt: sim.Never, LongAt: sim.Never}
	line := func(v live.View, notice, about string) string {
		return written(t, func(w io.Writer) error { return LiveTally(w, v, notice, about) })
	}
	require.Equal(t, `{"event":"tally","at_us":0,"segment":0,"input":"waiting","lost_for_us":0,"state":"unknown","recording":null,"open":false,`+
		`"take":null,"takes":0,"recorded_us":0,"press":null,"safe_at_us":null,"seen":0,"doubts":[]}`+"\n", line(v, "", ""))
	v = live.View{
		Input: live.Running, At: 5 * sim.Second, Segment: 2, State: sim.StateRecording, Recording: 0.75, Open: true,
		Take: sim.Take{N: 3, Start: 2 * sim.Second, End: 5 * sim.Second}, Takes: 3, Recorded: 9 * sim.Second,
		InHand: sim.Press{N: 6, Down: 4 * sim.Second, Up: sim.Never}, Phase: live.Counts, LongAt: 5500 * ms, SafeAt: 6 * sim.Second,
		Seen: 1, Doubts: []string{"a glance does not fit"},
	}
	require.Equal(t, `{"event":"tally","at_us":5000000,"segment":2,"input":"running","lost_for_us":0,"state":"recording","recording":0.75,"open":true,`+
		`"take":{"n":3,"start_us":2000000,"length_us":3000000},"takes":3,"recorded_us":9000000,`+
		`"press":{"n":6,"down_us":4000000,"held_us":1000000,"phase":"counts","long_at_us":5500000},"safe_at_us":6000000,"seen":1,`+
		`"doubts":["a glance does not fit"],"notice":"no row yet","about":"CSV"}`+"\n", line(v, "no row yet", "CSV"))
	v.LongAt, v.State = sim.Never, sim.StateUnknown
	require.Contains(t, line(v, "", ""), `"recording":0.75`, "unknown, but with a chance")
	require.Contains(t, line(v, "", ""), `"long_at_us":null`)

	r := regatta(nil).Replay
	require.Equal(t, `{"event":"press","segment":2,"n":2,"down_us":6250000,"up_us":6290000,"hold_us":40000,"from_start":false,"verdict":"short","state_after":"recording"}`+"\n",
		written(t, func(w io.Writer) error { return LivePress(w, 2, r.Presses[1]) }))
	require.Equal(t, `{"event":"flick","segment":1,"n":2,"down_us":6250000,"up_us":6290000,"outcome":"short","press":2}`+"\n",
		written(t, func(w io.Writer) error { return LiveFlick(w, 1, r.Flicks[1]) }))
}

// full is a disk that is full.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

// Every format reports that it could not be written.
func TestAFullDiskIsReported(t *testing.T) {
	flights := judged(t, regatta(nil), belief.Observations{})
	for name, write := range map[string]func(io.Writer) error{
		"replay":     func(w io.Writer) error { return Replays(w, flights) },
		"CSV":        func(w io.Writer) error { return Presses(w, flights, CSV) },
		"JSON lines": func(w io.Writer) error { return Presses(w, flights, JSONLines) },
		"cues":       func(w io.Writer) error { return Cues(w, flights) },
		"edits":      func(w io.Writer) error { return Edits(w, flights, rates[0]) },
		"waveform":   func(w io.Writer) error { return Waveform(w, &flights[0]) },
		"tally":      func(w io.Writer) error { return LiveTally(w, live.View{}, "", "") },
	} {
		require.ErrorContains(t, write(full{}), "disk full", name)
	}
}
