package fit

import (
	"fmt"

	"flicktally/sim"
)

// RangeText returns the range of the threshold in words.
func (t Threshold) RangeText() string {
	switch {
	case t.Falls:
		return "not measurable"
	case t.Open() && t.Range.Low == 0:
		return "not known yet"
	case t.Open():
		return "more than " + t.Range.Low.Rounded()
	case t.Range.Low == 0:
		return "at most " + t.Range.High.Rounded()
	default:
		return t.Range.Rounded()
	}
}

// BestText returns the best value in words, "-" if unknown.
func (t Threshold) BestText() string {
	if t.Best == sim.Never {
		return "-"
	}
	return t.Best.Rounded()
}

// Evidence describes what a range is based on.
func (w Window) Evidence(t Threshold) string {
	percent := fmt.Sprintf("%g %%", 100*w.Options.Confidence)
	switch {
	case t.Falls:
		return "longer holds reach it no more often"
	case t.Open() && t.Range.Low == 0:
		return "no trial bears on it"
	case t.Open() || t.Bracket.Low == 0 && t.Agree:
		return percent + "; not bracketed yet"
	case t.Agree:
		return fmt.Sprintf("%s; if it never jitters: %s", percent, t.Bracket.Rounded())
	default:
		return fmt.Sprintf("%s; jitters by about %s (SD)", percent, t.Jitter.Rounded())
	}
}

// SecondOpinion returns the results of other methods for the same trials, "" if
// they have none.
func (w Window) SecondOpinion(t Threshold) string {
	if t.Curve == nil {
		return ""
	}
	at, se := t.Curve.Threshold()
	text := fmt.Sprintf("%s by maximum likelihood, %s curve: %s ± %s, spread %s",
		t.Name, w.Options.Shape, micros(at).Rounded(), micros(se).Rounded(), micros(t.Curve.Spread()).Rounded())
	if at, se, ok := spearmanKarber(t.doses); ok {
		text += fmt.Sprintf("; without a curve (Spearman-Kärber): %s ± %s", micros(at).Rounded(), micros(se).Rounded())
	}
	return text
}
