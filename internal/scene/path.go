package scene

import (
	"errors"
	"fmt"
	"math"
)

// ErrPath is wrapped when a path cannot be drawn as asked.
var ErrPath = errors.New("path not drawable")

// maxStations is as many as one drawing holds and stays readable.
const maxStations = 24

// Kind is what a station is.
type Kind int

// Kinds of station, in the order water usually meets them.
const (
	SupplyTap Kind = iota
	Well
	SedimentFilter
	IronFilter
	Carbon
	Softener
	BoosterPump
	Membrane
	Restrictor
	VentedTank
	PressurisedTank
	ResinLead
	ResinLag
	DeliveryPump
	Line
	Gun
	kinds // how many there are
)

var kindWords = [kinds]string{
	"supply tap", "well", "sediment filter", "iron filter", "carbon", "softener", "booster pump", "membrane", "restrictor",
	"vented tank", "pressurised tank", "resin, lead", "resin, lag", "delivery pump", "line", "gun",
}

// String gives the trade's word.
func (k Kind) String() string {
	if k < 0 || k >= kinds {
		return "station"
	}
	return kindWords[k]
}

// usesUp says whether something in the station runs out or has a level.
func (k Kind) usesUp() bool {
	switch k {
	case SupplyTap, Well, BoosterPump, DeliveryPump, Restrictor, Line, Gun:
		return false
	}
	return true
}

// State is how a station stands. The zero value is not known.
type State int

// States of a station.
const (
	NotKnown State = iota
	Fine
	Due
	Today
)

// String gives the word printed on the drawing.
func (s State) String() string {
	switch s {
	case Fine:
		return "fine"
	case Due:
		return "due"
	case Today:
		return "today"
	}
	return "not known"
}

// Station is one stage on the path.
type Station struct {
	Kind Kind
	Name string   // as people on site call it; empty shows the kind
	Read []string // what was read, with units; stands above
	Due  []string // what is promised or due; stands below

	State State
	Word  string // more about the state: "4 months", "9–21 Aug"

	// Fill is what is left, or the level of a tank, 0 to 1; NaN is not known.
	// Pumps, lines and guns use nothing up: give NaN.
	Fill float64
	// Stop and Start are the levels, 0 to 1, at which the float of a vented
	// tank stops and starts the make-up; 0 leaves the mark out.
	Stop, Start float64

	FlowLitresPerDay     float64 // entering the station; NaN is not known
	StrengthMicrosiemens float64 // leaving the station, µS/cm at 25 °C; NaN is not known

	// Plain stands at the station in place of its state, where a drawing tells how
	// things hang and not how they do.
	Plain string

	stateWord string // how the state is called, where that is not English

	Suspect bool
	Why     string // why it is suspected, one sentence

	Binds bool // this station is what binds: the constraint that stops a cheaper system

	ID string // for links
}

// Drain is the water that leaves the path on its way.
type Drain struct {
	At                   string // ID of the station it leaves; empty is the first membrane
	LitresPerDay         float64
	StrengthMicrosiemens float64
	Notes                []string // stand under its litres a day
}

// Path is the water's way from the tap to the gun.
type Path struct {
	Title, Subtitle string
	Stations        []Station
	Drain           *Drain
}

// Layout is the shape of the room a path is drawn in.
type Layout int

// Layouts of a path. Wide runs left to right for a desk or a sheet, Narrow
// runs top to bottom for a phone, Mini is one row of a list and has no words.
const (
	Wide Layout = iota
	Narrow
	Mini
)

// Style is how a path is drawn. The zero value is Wide at 1200 units.
type Style struct {
	Layout Layout
	// Width of the drawing in units; 0 is 1200 for Wide, 380 for Narrow and
	// 320 for Mini. A path of many stations, Wide or Mini, takes more if it must.
	Width float64
	// FullWidthLitresPerDay is the flow drawn at full line width, so that several
	// paths share one scale; 0 takes the largest flow of the path.
	FullWidthLitresPerDay float64
	// Gallons prints flows in US gallons a day.
	Gallons bool
	// LinkBase makes each station with an ID a link to LinkBase + ID, such as
	// "#" or "/site/3#"; empty makes none.
	LinkBase string
	// Bare leaves out title, subtitle and legend, for a page that has its own.
	Bare bool
	// Rows names what stands above the line, at its stations and below; an empty
	// one is named as the path of a site is: read, state, promised or due.
	Rows [3]string
	// Say puts the drawing's own sentences into the reader's language before they
	// are set; nil leaves them in English. Names and notes of the path come as
	// they are to stand.
	Say func(string) string
}

// say puts a phrase of the drawing's own into the reader's language.
func (s Style) say(phrase string) string {
	if s.Say == nil {
		return phrase
	}
	return s.Say(phrase)
}

// Draw draws the path. The error wraps [ErrPath] when there are no stations
// or more than 24, a kind, layout or width is out of range, the station of the drain
// is not on the path, or a number is infinite or negative.
func (p Path) Draw(style Style) (Drawing, error) {
	width, err := style.width()
	if err != nil {
		return Drawing{}, fmt.Errorf("draw path: %w", err)
	}
	if err := p.check(style); err != nil {
		return Drawing{}, fmt.Errorf("draw path: %w", err)
	}
	p = p.tidied().worded(style)
	var d Drawing
	switch style.Layout {
	case Narrow:
		d = p.narrow(style, width)
	case Mini:
		d = p.mini(style, width)
	default:
		d = p.wide(style, width)
	}
	d.Title, d.Desc = style.say(p.spokenTitle()), p.spoken(style)
	return d, nil
}

// widths holds for each layout the usual width and the least and most it takes.
var widths = map[Layout][3]float64{Wide: {1200, 800, 4000}, Narrow: {380, 300, 800}, Mini: {320, 120, 2000}}

func (s Style) width() (float64, error) {
	limits, ok := widths[s.Layout]
	if !ok {
		return 0, fmt.Errorf("layout %d: %w", s.Layout, ErrPath)
	}
	if s.Width == 0 {
		return limits[0], nil
	}
	if !(limits[1] <= s.Width && s.Width <= limits[2]) {
		return 0, fmt.Errorf("width %g is not %g to %g: %w", s.Width, limits[1], limits[2], ErrPath)
	}
	return s.Width, nil
}

func (p Path) check(style Style) error {
	if n := len(p.Stations); n < 1 || n > maxStations {
		return fmt.Errorf("%d stations, want 1 to %d: %w", n, maxStations, ErrPath)
	}
	if !amount(style.FullWidthLitresPerDay) || math.IsNaN(style.FullWidthLitresPerDay) {
		return fmt.Errorf("full width at %g litres a day: %w", style.FullWidthLitresPerDay, ErrPath)
	}
	for i, s := range p.Stations {
		if s.Kind < 0 || s.Kind >= kinds {
			return fmt.Errorf("station %d has kind %d: %w", i+1, s.Kind, ErrPath)
		}
		if !amount(s.FlowLitresPerDay) || !amount(s.StrengthMicrosiemens) {
			return fmt.Errorf("station %d has flow %g and strength %g: %w", i+1, s.FlowLitresPerDay, s.StrengthMicrosiemens, ErrPath)
		}
		if math.IsInf(s.Fill, 0) || !share(s.Stop) || !share(s.Start) {
			return fmt.Errorf("station %d has fill %g, stop %g, start %g: %w", i+1, s.Fill, s.Stop, s.Start, ErrPath)
		}
	}
	return p.checkDrain()
}

func (p Path) checkDrain() error {
	if p.Drain == nil {
		return nil
	}
	if p.drainAt() < 0 {
		return fmt.Errorf("drain leaves station %q, which is not on the path: %w", p.Drain.At, ErrPath)
	}
	if !amount(p.Drain.LitresPerDay) || !amount(p.Drain.StrengthMicrosiemens) {
		return fmt.Errorf("drain has flow %g and strength %g: %w", p.Drain.LitresPerDay, p.Drain.StrengthMicrosiemens, ErrPath)
	}
	return nil
}

// mostAmount is far past any site; it keeps the arithmetic of the layout finite.
const mostAmount = 1e12

// amount accepts a number from 0 up, and NaN for not known.
func amount(v float64) bool { return math.IsNaN(v) || (0 <= v && v <= mostAmount) }

func share(v float64) bool { return 0 <= v && v <= 1 }

// drainAt gives the index of the station the drain leaves, -1 if there is none.
func (p Path) drainAt() int {
	if p.Drain == nil {
		return -1
	}
	for i, s := range p.Stations {
		if p.Drain.At == "" && s.Kind == Membrane || p.Drain.At != "" && s.ID == p.Drain.At {
			return i
		}
	}
	return -1
}

// tidied gives a copy with clean texts, names filled in and fills held to 0 to 1.
func (p Path) tidied() Path {
	p.Title, p.Subtitle = tidy(p.Title), tidy(p.Subtitle)
	stations := make([]Station, len(p.Stations))
	for i, s := range p.Stations {
		s.Name, s.Word, s.Why = tidy(s.Name), tidy(s.Word), tidy(s.Why)
		if s.Name == "" {
			s.Name = sentence(s.Kind.String())
		}
		s.Read, s.Due = tidyAll(s.Read), tidyAll(s.Due)
		if !math.IsNaN(s.Fill) {
			s.Fill = min(max(s.Fill, 0), 1)
		}
		stations[i] = s
	}
	p.Stations = stations
	if p.Drain != nil {
		drain := *p.Drain
		drain.Notes = tidyAll(drain.Notes)
		p.Drain = &drain
	}
	return p
}
