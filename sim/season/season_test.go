package season

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/fit"
	"flicktally/sim/stat"
)

// drawnSeason returns outings of a simulated season.
func drawnSeason(t *testing.T, flights int) []Outing {
	rng := rand.New(rand.NewPCG(5, 5))
	rig := rangedRig()
	truth := sim.Window{MinPress: 120 * ms, LongPress: 1500 * ms}
	var outings []Outing
	for i := range flights {
		replay, clips := fly(rng, rig, truth, curious, 8)
		began := time.Date(2026, 6, 13+i/3, 10+i%3, 0, 0, 0, time.UTC)
		o := outingOf(t, rig, replay, clips, began)
		o.Folder = fmt.Sprintf("lake/%d", i)
		f := &o.Flights[0]
		f.File, f.Segments, f.Clock, f.Why, f.Flicks = fmt.Sprintf("lake/%d/a.csv", i), 1, LogClock, counts{}, 0
		for _, flick := range replay.Flicks {
			f.Held = append(f.Held, flickOf(flick, 1))
			f.Flicks++
			if flick.Outcome == sim.FlickToggled {
				f.Toggled++
			} else {
				f.Why[flick.Outcome]++
			}
		}
		outings = append(outings, o)
	}
	return outings
}

// TestTheOrderOfFlightsDoesNotMatter: whatever the order in which flights are
// learned from, and in how many parts, the season is the same to the byte.
func TestTheOrderOfFlightsDoesNotMatter(t *testing.T) {
	outings := drawnSeason(t, 4)
	rig := rangedRig()
	text := func(s *Season) string {
		var out bytes.Buffer
		require.NoError(t, s.WriteJSON(&out))
		return out.String()
	}
	want := text(Of(rig, outings, nil))
	rng := rand.New(rand.NewPCG(2, 2))
	for range 8 {
		mixed := slices.Clone(outings)
		rng.Shuffle(len(mixed), func(i, k int) { mixed[i], mixed[k] = mixed[k], mixed[i] })
		require.Equal(t, want, text(Of(rig, mixed, nil)))
		cut := 1 + rng.IntN(len(mixed)-1)
		var parts [][]Outing
		for _, part := range [][]Outing{mixed[:cut], mixed[cut:]} {
			read, left, err := ReadJSON(bytes.NewBufferString(text(Of(rig, part, nil))), "part.json", rig)
			require.NoError(t, err)
			require.Empty(t, left)
			parts = append(parts, read)
		}
		merged, twice := Merge(parts...)
		require.Equal(t, want, text(Of(rig, merged, twice)))
	}
}

// TestOneAfterTheOtherIsAllAtOnce: learning flight by flight gives the belief about
// all of them together (M11).
func TestOneAfterTheOtherIsAllAtOnce(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	rig := rangedRig()
	truth := sim.Window{MinPress: 120 * ms, LongPress: 1500 * ms}
	together := belief.Outing{ClipError: sim.Second}
	var each []Outing
	for i := range 3 {
		replay, _ := fly(rng, rig, truth, curious, 6)
		// Looks at the light, so that no list joins the flights.
		seen := []belief.Glance{{At: replay.Flicks[2].Down - sim.Second, Light: lightAt(replay, truth, replay.Flicks[2].Down-sim.Second)}}
		flight := belief.Flight{Replay: replay, Seen: seen}
		together.Flights = append(together.Flights, flight)
		evidence, err := belief.Likelihood(belief.Outing{Flights: []belief.Flight{flight}, ClipError: sim.Second}, GridOf(rig))
		require.NoError(t, err)
		each = append(each, Outing{Evidence: evidence, Flights: []Flight{{File: fmt.Sprint(i)}}})
	}
	all, err := belief.Likelihood(together, GridOf(rig))
	require.NoError(t, err)
	once := learn(rig, []Outing{{Evidence: all, Flights: []Flight{{}}}})
	chained := learn(rig, each)
	require.InDelta(t, float64(once.MinPress.Low), float64(chained.MinPress.Low), 100)
	require.InDelta(t, float64(once.MinPress.High), float64(chained.MinPress.High), 100)
	require.InDelta(t, float64(once.LongPress.Low), float64(chained.LongPress.Low), 100)
	require.InDelta(t, float64(once.LongPress.High), float64(chained.LongPress.High), 100)
	require.NotEqual(t, rig.Camera.MinPress, once.MinPress, "something was learned")
}

// lightAt returns what the light of the true camera shows.
func lightAt(replay *sim.Replay, truth sim.Window, at sim.Micros) belief.Light {
	known := sim.RunCamera(replay.Rig.Camera, truth, replay.Lanes.Wire, replay.End, nil)
	switch known.StateAt(at) {
	case sim.StateRecording:
		return belief.LightRecording
	case sim.StateOff, sim.StateBooting:
		return belief.LightOff
	default:
		return belief.LightStandby
	}
}

func TestAFlightInTwoSeasonsCountsOnce(t *testing.T) {
	outings := drawnSeason(t, 3)
	merged, left := Merge(outings, outings[1:])
	require.Len(t, merged, 3)
	require.Len(t, left, 2)
	require.Contains(t, left[0].Why, "another season")
}

func TestASeasonInJSONIsChecked(t *testing.T) {
	rig := rangedRig()
	var out bytes.Buffer
	require.NoError(t, Of(rig, drawnSeason(t, 2), nil).WriteJSON(&out))
	other := rig
	other.Camera.MinPress.High += ms
	for name, test := range map[string]struct {
		text string
		rig  sim.Rig
		says string
	}{
		"no JSON":           {"flight", rig, "a.json: found no season in JSON"},
		"another camera":    {out.String(), other, "other thresholds, want min_press"},
		"damaged evidence":  {`{"schema":1,"camera_before":{"min_press_us":[60000,220000],"long_press_us":[900000,2000000]},"outings":[{"evidence":"abcd"}]}`, rig, "damaged evidence"},
		"too few cells":     {`{"schema":1,"camera_before":{"min_press_us":[60000,220000],"long_press_us":[900000,2000000]},"outings":[{"evidence":"H4sIAAAAAAAA/2MAAI3vAtIBAAAA"}]}`, rig, "found evidence of 1 cells, want 9216"},
		"a flight of none":  {`{"schema":1,"camera_before":{"min_press_us":[60000,220000],"long_press_us":[900000,2000000]},"flights":[{"outing":2}],"outings":[]}`, rig, "found a flight of outing 2"},
		"an outing of none": {`{"schema":1,"camera_before":{"min_press_us":[60000,220000],"long_press_us":[900000,2000000]},"outings":[{}]}`, rig, "found no flight of outing 1"},
		"another schema":    {`{"schema":7}`, rig, "found schema 7"},
	} {
		_, _, err := ReadJSON(bytes.NewBufferString(test.text), "a.json", test.rig)
		require.ErrorContains(t, err, test.says, name)
	}
}

func TestEvidenceReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Evidence(rapid.SliceOfN(rapid.Int64(), 1, 300).Draw(t, "evidence"))
		text, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		var back Evidence
		if err := back.UnmarshalJSON(text); err != nil || !slices.Equal(e, back) {
			t.Fatalf("got %v, %v, want %v", back, err, e)
		}
	})
}

func TestTrialsTellOfTheCamera(t *testing.T) {
	rig := rangedRig()
	e := TrialsEvidence(rig, []fit.Trial{
		{Hold: 90 * ms, Outcome: fit.Nothing}, {Hold: 130 * ms, Outcome: fit.Toggled}, {Hold: 1400 * ms, Outcome: fit.Toggled}, {Hold: 1600 * ms, Outcome: fit.Long},
	})
	c := learn(rig, []Outing{{Trials: 4, Evidence: e}})
	require.InDelta(t, 90, float64(c.MinPress.Low/ms), 5)
	require.InDelta(t, 130, float64(c.MinPress.High/ms), 5)
	require.InDelta(t, 1400, float64(c.LongPress.Low/ms), 25)
	require.InDelta(t, 1600, float64(c.LongPress.High/ms), 25)
	require.Nil(t, TrialsEvidence(sim.DefaultRig(), nil), "a rig that leaves nothing open")
}

// TestThePooledChanceOfADayHolds: with days that differ, and with days that do not,
// the 95 % interval of a day holds its true chance in at least 90 %, and three flicks
// of which one toggled do not make a hopeless day.
func TestThePooledChanceOfADayHolds(t *testing.T) {
	const simulated = 40
	for name, spread := range map[string]float64{"days that differ": 0.15, "days that do not": 0} {
		rng := rand.New(rand.NewPCG(8, 8))
		var holds stat.Rate
		for range simulated {
			var all []Period
			var truth []float64
			for range 12 {
				p := min(0.99, max(0.05, 0.8+spread*rng.NormFloat64()))
				day := Period{}
				for range 3 + rng.IntN(20) {
					day.Toggled.Add(rng.Float64() < p)
				}
				all, truth = append(all, day), append(truth, p)
			}
			pool(all)
			for i, p := range all {
				holds.Add(p.Within.Low <= truth[i] && truth[i] <= p.Within.High)
			}
		}
		require.GreaterOrEqual(t, holds.Value(), 0.90, name)
	}
	days := []Period{{Toggled: stat.Rate{Hits: 45, Trials: 50}}, {Toggled: stat.Rate{Hits: 1, Trials: 3}}, {Toggled: stat.Rate{Hits: 44, Trials: 50}}}
	pool(days)
	require.Greater(t, days[1].Pooled, 0.5)
	require.Less(t, days[1].Pooled, days[0].Pooled)
}

// TestNoChangeIsToldWhereNothingChanged: in at most 5 % of seasons, by more than
// luck.
func TestNoChangeIsToldWhereNothingChanged(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	var alarms stat.Rate
	for range 400 {
		s := &Season{}
		for day := range 4 {
			f := Flight{Began: time.Date(2026, 6, 13+day, 9, 0, 0, 0, time.UTC)}
			for range 12 {
				hold := ordinary(rng)
				k := Flick{Hold: &hold, Unseen: []sim.Micros{20 * ms, 20 * ms}, Outcome: sim.FlickToggled}
				f.Flicks++
				if rng.Float64() < 0.9 {
					f.Toggled++
				}
				f.Held = append(f.Held, k)
			}
			s.Outings = append(s.Outings, Outing{Flights: []Flight{f}})
		}
		for _, f := range s.Flights() {
			s.Days = append(s.Days, Period{Name: f.day()})
		}
		alarms.Add(s.change().Any())
	}
	require.LessOrEqual(t, alarms.Value(), 0.05+2.33*0.0109)
}

func TestWhatWasSwitchedOffCountsWithTheLongFlick(t *testing.T) {
	f := Flight{Flicks: 5, Toggled: 1, Why: counts{sim.FlickLong: 1, sim.FlickOff: 3}}
	for _, outcome := range []sim.FlickOutcome{sim.FlickToggled, sim.FlickLong, sim.FlickOff, sim.FlickOff, sim.FlickOff} {
		f.Held = append(f.Held, Flick{Outcome: outcome, Chance: 1})
	}
	s := Of(sim.DefaultRig(), []Outing{{Flights: []Flight{f}}}, nil)
	require.Equal(t, practise, s.Next[0].Kind)
	require.Equal(t, stat.Rate{Hits: 4, Trials: 5}, s.Next[0].Saves)
	require.Equal(t, sim.FlickOff, s.Why[0].Outcome, "the most frequent first")
	_, ok := s.Next[0].Within()
	require.False(t, ok, "three failed because of the one: no interval holds")
}

// TestTheIntervalOfASavingHolds: in simulated seasons of 60 flicks that fail
// independently, the interval of what practice can save at most contains the pilot's
// own rate in about 95 %.
func TestTheIntervalOfASavingHolds(t *testing.T) {
	const seasons, flicks = 4000, 60
	rng := rand.New(rand.NewPCG(3, 9))
	for _, rate := range []float64{0.05, 0.2} {
		var holds stat.Rate
		for range seasons {
			failed := stat.Rate{}
			for range flicks {
				failed.Add(rng.Float64() < rate)
			}
			within, ok := advice{Kind: practise, Saves: failed, AtMost: true}.Within()
			require.True(t, ok)
			holds.Add(within.Low <= 100*rate && 100*rate <= within.High)
		}
		require.InDelta(t, 0.95, holds.Value(), 0.025, "rate %v", rate)
	}
}

// A season without a known hold, as with a rig that counts every move, is reported
// without holds.
func TestASeasonWithoutHoldsIsTold(t *testing.T) {
	var outings []Outing
	for day := range 3 {
		f := Flight{Began: time.Date(2026, 6, 13+day, 9, 0, 0, 0, time.UTC), Flicks: 2, Toggled: 1, Why: counts{sim.FlickBusy: 1}}
		f.Held = []Flick{{Outcome: sim.FlickToggled, Chance: 1}, {Outcome: sim.FlickBusy, Chance: 1}}
		outings = append(outings, Outing{Flights: []Flight{f}})
	}
	s := Of(sim.DefaultRig(), outings, nil)
	require.Nil(t, s.Hand)
	require.False(t, s.Change.Any())
	require.NotEmpty(t, s.Sections())
}
