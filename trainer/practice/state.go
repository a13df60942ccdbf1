package practice

import (
	"cmp"
	"slices"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// Notebook records practice, and knows about earlier practice.
type Notebook interface {
	Known() (trainer.Known, error)
	// Begin records the start of a drill. keep, which is called after every call
	// of the drill, records what is new.
	Begin(d *trainer.Drill) (keep func() error, err error)
}

// Options says what to practise, on which rig, with which switch.
type Options struct {
	// Setup is the base of all drills. Its Kind is the first drill, "" for the
	// menu; each drill counts its Seed up by one. With a Resolution other than 0
	// the input is not measured.
	Setup    trainer.Setup
	Switch   Switch
	Bell     bool // ring on verdicts
	Tone     bool // sound while the switch is pressed
	Notebook Notebook
}

// Screen is the screen to practise on. It is a [term.Program].
//
// It shows one page at a time: first the switch is found and the input measured,
// then the menu, a drill and its outcome take turns.
type Screen struct {
	setup    trainer.Setup
	input    input
	notebook Notebook
	known    trainer.Known // before the current drill
	trouble  error         // the latest error of the notebook
	lost     error         // why a drill was not recorded

	page   page // nil until the first event
	width  int
	height int
	help   term.Help
	bell   bell
	tone   tone
	rings  bool       // the latest event rings the bell
	now    sim.Micros // of the latest event
	wake   sim.Micros

	asked  trainer.Kind // the drill to start once the input is ready
	guided bool         // the guided minute has begun
	done   Done
}

// Done sums up a session.
type Done struct {
	Drills, Trials, Flicks int
	Next                   trainer.Kind // the drill to do next; "" before the first drill
}

// page is one screen of practice.
type page interface {
	// key handles a key and reports whether the program continues.
	key(p *Screen, e term.KeyEvent) bool
	// moved handles a move of the transmitter's switch.
	moved(p *Screen, at sim.Micros, value sim.PulseWidth)
	// tick advances the time to now.
	tick(p *Screen)
	// wake returns when the page wants its next tick.
	wake(p *Screen) sim.Micros
	draw(p *Screen, c *term.Canvas)
	help(p *Screen) []term.HelpLine
}

// waiting is embedded in pages that ignore time and switch.
type waiting struct{}

func (waiting) moved(*Screen, sim.Micros, sim.PulseWidth) {}
func (waiting) tick(*Screen)                              {}
func (waiting) wake(*Screen) sim.Micros                   { return sim.Never }

// New returns a screen. It refuses a rig that cannot be practised on.
func New(o Options) (*Screen, error) {
	first := o.Setup
	if first.Kind == "" {
		first.Kind = trainer.KindFlick
	}
	if _, err := trainer.New(first); err != nil {
		return nil, err
	}
	known, err := o.Notebook.Known()
	if err != nil {
		return nil, err
	}
	in := newInput(o.Switch, o.Setup)
	if in.resolution == 0 && known.Resolution > 0 {
		in.resolution, in.measured = known.Resolution, "as before; m measures again"
	}
	return &Screen{
		setup: o.Setup, input: in, notebook: o.Notebook, known: known,
		bell: bell{on: o.Bell}, tone: tone{on: o.Tone}, wake: sim.Never, asked: o.Setup.Kind,
	}, nil
}

// begin shows the first page that is needed.
func (p *Screen) begin() {
	switch {
	case p.input.device && !p.input.found:
		p.page = &findPage{}
	case p.asked == "" && p.beginner():
		p.guided = true
		page := p.newDrill(trainer.KindFlick)
		page.guided = true
		p.page = page
	case p.input.resolution == 0:
		p.page = &measurePage{}
	case p.asked != "":
		kind := p.asked
		p.asked = ""
		p.startDrill(kind)
	default:
		p.openMenu()
	}
}

// End ends the current drill, keeps what was done, and sums up the session. Call it
// once the program has ended, for whatever reason. The error is the notebook's.
func (p *Screen) End() (Done, error) {
	if d, drilling := p.page.(*drillPage); drilling {
		d.stop(p)
	}
	return p.done, cmp.Or(p.trouble, p.lost)
}

func (p *Screen) readNotebook() {
	known, err := p.notebook.Known()
	if err == nil {
		p.known = known
	}
	p.trouble = err
}

// kinds lists the drills that can be done.
func (p *Screen) kinds() []trainer.Kind {
	kinds := slices.Clone(trainer.Kinds)
	if len(p.setup.Review) == 0 {
		kinds = slices.DeleteFunc(kinds, func(k trainer.Kind) bool { return k == trainer.KindReview })
	}
	return kinds
}

// startDrill starts a drill, after measuring the input if its resolution is unknown.
func (p *Screen) startDrill(kind trainer.Kind) {
	if p.input.resolution == 0 {
		p.asked, p.page = kind, &measurePage{}
		return
	}
	p.page = p.newDrill(kind)
}

func (p *Screen) newDrill(kind trainer.Kind) *drillPage {
	setup := p.setup
	setup.Kind, setup.Resolution = kind, cmp.Or(p.input.resolution, assumedResolution)
	setup.Past, setup.Cold = p.known.Past, !p.known.Practised
	if kind != trainer.KindPattern && kind != trainer.KindMixed {
		setup.Pattern = nil
	}
	p.setup.Seed++
	drill, err := trainer.New(setup)
	if err != nil {
		panic("internal error: a drill that was offered cannot be done: " + err.Error())
	}
	page := &drillPage{drill: drill}
	page.keep, err = p.notebook.Begin(drill)
	if err != nil {
		p.lost = err
		page.keep = func() error { return err }
	}
	p.input.rest(p.now)
	drill.Start(p.now, p.input.value)
	return page
}
