package site

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"rinsewright/commissioning"
	"rinsewright/plant"
	"rinsewright/quantity"
)

// Question is what looks odd about a reading as it is entered. It is asked, not
// refused: the water is right, and not we.
type Question struct {
	Kind    QuestionKind
	Keys    []string // readings it is about, as "gun_strength 3"
	Asks    string   // one sentence
	Instead []string // lines that may have been meant, none where nobody can guess
}

// QuestionKind is why a reading is asked about.
type QuestionKind string

// Why a reading is asked about.
const (
	AskUnit    QuestionKind = "unit"         // or a pen's scale
	AskSwapped QuestionKind = "swapped"      // two points of the path
	AskSame    QuestionKind = "same"         // the same water read twice
	AskFirst   QuestionKind = "first minute" // creep not washed out, or nobody timed it
	AskRange   QuestionKind = "range"
	AskRate    QuestionKind = "rate" // since the last time
	AskBalance QuestionKind = "balance"
	AskRepeat  QuestionKind = "repeat" // one gauge, two readings that are not one
)

// Dated is a reading with its day.
type Dated struct {
	plant.Reading
	Date string
}

// Known is what a new reading is held against: what was read last of each gauge,
// what the model expects, and the most that the membrane makes in a day. Each part
// may be missing.
type Known struct {
	Date     string // of the new readings
	Last     map[string]Dated
	Expected map[string]float64 // numbers in the SI unit of the gauge, by reading key
	MostADay quantity.Volume

	Units  quantity.System // in which the one who is asked reads
	Locale quantity.Locale // in which they write, the readings too
}

// LastRead is what the site's survey and log read last of each gauge, before a
// day; "" takes all.
func (s *Site) LastRead(before string) map[string]Dated {
	last := map[string]Dated{}
	add := func(date string, all []plant.Reading) {
		if before != "" && date >= before {
			return
		}
		for _, r := range all {
			if was, met := last[r.Key()]; !met || was.Date <= date {
				last[r.Key()] = Dated{r, date}
			}
		}
	}
	for _, w := range s.Samples {
		add(w.Date, SampleReadings(w))
	}
	for _, c := range s.Commissioned {
		add(c.Date, (Visit{Read: c.Read}).Gauged())
	}
	for _, v := range s.Log {
		add(v.Date, v.Gauged())
	}
	return last
}

// Ask returns what looks odd about readings taken together, in the order they
// were read: wrong units and scales, points that were swapped, first-minute
// readings, ranges, rates since the last time, balances. It is cheap enough for
// every key stroke. Bounds are common practice, no source.
func Ask(read []Reading, k Known) (all []Question) {
	asked := map[string]bool{}
	put := func(q Question) {
		for _, key := range q.Keys {
			if asked[key] && q.Kind != AskBalance {
				return // one question a reading is enough
			}
		}
		for _, key := range q.Keys {
			asked[key] = true
		}
		all = append(all, q)
	}
	read = taken(read)
	for _, q := range swapped(read) {
		put(q)
	}
	for _, r := range read {
		for _, about := range []func(Reading, Known) (Question, bool){wrongUnit, backwards, outOfRange, firstMinute, leapt} {
			if q, odd := about(r, k); odd {
				put(q)
				break
			}
		}
	}
	for _, q := range repeated(read) {
		put(q)
	}
	if len(all) == 0 { // a balance of readings that are odd already says no more
		for _, q := range unbalanced(read, k) {
			put(q)
		}
	}
	return all
}

func taken(read []Reading) (kept []Reading) {
	for _, r := range read {
		if r.Skipped == "" {
			kept = append(kept, r)
		}
	}
	return kept
}

// reference is what a reading should be near: what was read last, or, of a flow
// or a pressure, what the model expects. It knows a strength no better than to a
// factor of two, which is what pens differ by.
func (k Known) reference(r Reading) (y float64, says string) {
	if last, ok := k.Last[r.Key()]; ok && last.SI > 0 {
		return last.SI, "last time it was " + k.show(r.Of, last.SI)
	}
	kind := r.Of.Kind()
	if y := k.Expected[r.Key()]; y > 0 && (kind == quantity.KindFlow || kind == quantity.KindPressure) {
		return y, "about " + k.show(r.Of, y) + " is expected"
	}
	return 0, ""
}

// show writes a number as the one who is asked reads it.
func (k Known) show(g plant.Gauge, si float64) string {
	return quantity.FormatKind(g.Kind(), si, k.Units, k.Locale)
}

// others lists units that a number could have been read in, by kind. A pen shows
// ppm or µS/cm, and which one is the commonest slip of all.
var others = map[quantity.Kind][]string{
	quantity.KindConductivity: {"uS/cm", "ppm NaCl", "mS/cm"},
	quantity.KindFlow:         {"gpm", "L/min", "gpd", "gph"},
	quantity.KindPressure:     {"psi", "bar", "kPa"},
	quantity.KindVolume:       {"gal", "L", "m3"},
	quantity.KindCaCO3Conc:    {"gpg", "mg/L as CaCO3"},
	quantity.KindTemperature:  {"C", "F"},
}

// Beyond this ratio to its reference a reading is odd, and within the other it is
// not: between them nobody can tell a slip from news.
const (
	oddRatio  = 1.65
	fineRatio = 1.25
)

// wrongUnit asks whether the number was in another unit, where that would bring
// it to where it was before.
func wrongUnit(r Reading, k Known) (Question, bool) {
	reference, says := k.reference(r)
	number, _, _ := strings.Cut(r.Typed, " ")
	if r.Of.Kind() == quantity.KindTemperature {
		return wrongDegrees(r, k, number, reference)
	}
	if !(reference > 0 && r.SI > 0) || ratio(r.SI, reference) < oddRatio {
		return Question{}, false
	}
	for _, unit := range others[r.Of.Kind()] {
		meant, err := ParseReading(fmt.Sprintf("%s = %s %s", r.Key(), number, unit), k.Locale)
		if err != nil || meant.SI <= 0 || ratio(meant.SI, reference) > fineRatio || sameUnit(r, meant) {
			continue
		}
		meant.After, meant.Timed, meant.Running, meant.Instrument = r.After, r.Timed, r.Running, r.Instrument
		return Question{
			AskUnit,
			[]string{r.Key()},
			fmt.Sprintf("%s reads %s, and %s: did you mean %s %s?", upper(r.Of.Title()), r.Typed, says, number, unit),
			[]string{meant.String()},
		}, true
	}
	return Question{}, false
}

func sameUnit(a, b Reading) bool { return math.Abs(a.SI-b.SI) <= 1e-9*math.Abs(a.SI) }

func ratio(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	return a / b
}

// wrongDegrees asks about a feed colder than ice or warmer than a hand can
// bear, and about a jump that the other degree explains.
func wrongDegrees(r Reading, k Known, number string, reference float64) (Question, bool) {
	celsius := quantity.Temperature(r.SI).Celsius()
	sensible := 0.2 <= celsius && celsius <= 42
	if reference > 0 && math.Abs(r.SI-reference) > 15 {
		sensible = false
	}
	if sensible {
		return Question{}, false
	}
	for _, unit := range []string{"C", "F"} {
		meant, err := ParseReading(fmt.Sprintf("%s = %s %s", r.Key(), number, unit), k.Locale)
		if err != nil || sameUnit(r, meant) {
			continue
		}
		c := quantity.Temperature(meant.SI).Celsius()
		if !(0.2 <= c && c <= 42) || reference > 0 && math.Abs(meant.SI-reference) > 12 {
			continue
		}
		meant.Instrument, meant.After, meant.Timed, meant.Running = r.Instrument, r.After, r.Timed, r.Running
		return Question{AskUnit, []string{r.Key()}, fmt.Sprintf("The feed at %s: did you mean %s %s?", r.Typed, number, unit), []string{meant.String()}}, true
	}
	return Question{}, false
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// falls lists pairs of points between which a number can only fall, and why it
// may look otherwise.
var falls = []struct {
	from, to plant.Gauge
	why      string
}{
	{plant.FeedStrength, plant.PermeateStrength, "swapped?"},
	{plant.PermeateStrength, plant.PolishStrength, "swapped, or is the resin used up?"},
	{plant.FeedStrength, plant.PolishStrength, "swapped, or is the resin used up?"},
	{plant.ConcentrateStrength, plant.FeedStrength, "swapped?"},
	{plant.StaticPressure, plant.TapPressure, "swapped?"},
	{plant.FeedPressure, plant.ConcentratePressure, "swapped, or two gauges that differ? One gauge moved from port to port tells the drop"},
	{plant.FeedChlorine, plant.MembraneChlorine, "swapped, or is the carbon spent?"},
	{plant.FeedHardness, plant.MembraneHardness, "swapped, or is the softener out of salt?"},
}

func swapped(read []Reading) (all []Question) {
	for _, f := range falls {
		a, ok1 := find(read, f.from)
		b, ok2 := find(read, f.to)
		if !ok1 || !ok2 || !sameScale(a, b) {
			continue
		}
		keys := []string{a.Key(), b.Key()}
		strength := a.Of.Kind() == quantity.KindConductivity
		switch {
		case strength && a.SI > 0 && math.Abs(a.SI-b.SI) < 1e-12:
			all = append(all, Question{AskSame, keys, fmt.Sprintf("%s and %s are the same, %s: the same water read twice?", upper(a.Of.Title()), b.Of.Title(), a.Typed), nil})
		case b.SI > a.SI+2*doubtOf(a, b):
			x, y := a, b
			x.Of, y.Of = b.Of, a.Of
			all = append(all, Question{AskSwapped, keys, fmt.Sprintf("%s, %s, is above %s, %s: %s", upper(b.Of.Title()), b.Typed, a.Of.Title(), a.Typed, withMark(f.why)), []string{x.String(), y.String()}})
		}
	}
	return all
}

func withMark(s string) string {
	if strings.ContainsAny(s[len(s)-1:], "?.") {
		return s
	}
	return s + "."
}

// sameScale tells whether two strengths were read on the same scale.
func sameScale(a, b Reading) bool {
	return a.Of.Kind() != quantity.KindConductivity || a.ScaleUnknown() == b.ScaleUnknown()
}

func doubtOf(a, b Reading) float64 {
	ua := (commissioning.Instrument{Name: a.Instrument}).Doubt(a.Reading, false)
	ub := (commissioning.Instrument{Name: b.Instrument}).Doubt(b.Reading, false)
	return math.Hypot(ua, ub)
}

func find(read []Reading, g plant.Gauge) (Reading, bool) {
	for _, r := range read {
		if r.Of == g {
			return r, true
		}
	}
	return Reading{}, false
}

// settles is how long a strength needs after a start before it is one. Source:
// common practice, no source.
const settles = quantity.Time(300)

// firstMinute asks about a strength that was read early, or is high and nobody
// timed it.
func firstMinute(r Reading, k Known) (Question, bool) {
	if r.Of != plant.PermeateStrength && r.Of != plant.PolishStrength && r.Of != plant.HousingStrength {
		return Question{}, false
	}
	reference, says := k.reference(r)
	high := reference > 0 && r.SI > 1.3*reference
	switch {
	case r.Timed && r.Running < settles && (high || reference == 0):
		return Question{AskFirst, []string{r.Key()}, fmt.Sprintf("%s after only %s: what crept across while it stood is still washing out. Read again after ten minutes?", r.Typed, r.After), nil}, true
	case !r.Timed && high:
		return Question{AskFirst, []string{r.Key()}, fmt.Sprintf("%s reads %s and %s: how long had it run? The first minutes read high.", upper(r.Of.Title()), r.Typed, says), nil}, true
	}
	return Question{}, false
}

// usualRange is what a gauge reads on nearly every rig of this size.
func usualRange(g plant.Gauge) (lo, hi float64) {
	micro := func(x float64) float64 { return float64(quantity.MicrosiemensPerCm(x)) }
	switch g {
	case plant.FeedTemperature:
		return float64(quantity.Celsius(1)), float64(quantity.Celsius(40))
	case plant.FeedStrength:
		return micro(30), micro(6000)
	case plant.PermeateStrength, plant.HousingStrength:
		return 0, micro(400)
	case plant.FeedPH:
		return 5.5, 9.5
	case plant.FeedHardness:
		return 0, float64(quantity.GrainsPerGallon(60))
	case plant.FeedChlorine, plant.FeedFreeChlorine, plant.MembraneChlorine, plant.MembraneFreeChlorine:
		return 0, float64(quantity.MilligramsPerLitre(5))
	case plant.StaticPressure, plant.TapPressure:
		return float64(quantity.Bar(0.7)), float64(quantity.Bar(10))
	case plant.FeedPressure, plant.ConcentratePressure:
		return float64(quantity.Bar(0.7)), float64(quantity.Bar(25))
	case plant.StartsPerHour:
		return 0, 30
	}
	return math.Inf(-1), math.Inf(1)
}

// Far from what is expected a reading is asked about even where no other unit
// explains it.
const farRatio = 4

func outOfRange(r Reading, k Known) (Question, bool) {
	lo, hi := usualRange(r.Of)
	if !(lo <= r.SI && r.SI <= hi) {
		return Question{AskRange, []string{r.Key()}, fmt.Sprintf("%s reads %s; %s to %s is usual. Is the point, the number and the unit right?", upper(r.Of.Title()), r.Typed, k.show(r.Of, lo), k.show(r.Of, hi)), nil}, true
	}
	y := k.Expected[r.Key()]
	switch r.Of.Kind() {
	case quantity.KindFlow, quantity.KindPressure:
	case quantity.KindConductivity:
		if r.SI < float64(quantity.MicrosiemensPerCm(20)) && y < float64(quantity.MicrosiemensPerCm(20)) {
			return Question{}, false // a pen near nothing
		}
	default:
		return Question{}, false
	}
	if y > 0 && r.SI > 0 && ratio(r.SI, y) > farRatio {
		return Question{AskRange, []string{r.Key()}, fmt.Sprintf("%s reads %s where about %s is expected. Is the point, the number and the unit right?", upper(r.Of.Title()), r.Typed, k.show(r.Of, y)), nil}, true
	}
	return Question{}, false
}

// backwards asks about a counter that runs back, or faster than it can.
func backwards(r Reading, k Known) (Question, bool) {
	last, ok := k.Last[r.Key()]
	if !ok || r.Of != plant.PermeateVolume && r.Of != plant.RunTime {
		return Question{}, false
	}
	if r.SI < last.SI {
		return Question{AskRate, []string{r.Key()}, fmt.Sprintf("%s reads %s, less than on %s (%s): was it changed, or a digit swapped?", upper(r.Of.Title()), r.Typed, last.Date, k.show(r.Of, last.SI)), nil}, true
	}
	days, ok := daysBetween(last.Date, k.Date)
	if !ok {
		return Question{}, false
	}
	most := 86400 * (days + 1)
	if r.Of == plant.PermeateVolume {
		most = 1.5 * float64(k.MostADay) * (days + 1)
	}
	if most > 0 && r.SI-last.SI > most {
		return Question{AskRate, []string{r.Key()}, fmt.Sprintf("%s grew by %s in %.0f days, more than the rig can: a digit or a unit wrong?", upper(r.Of.Title()), k.show(r.Of, r.SI-last.SI), days), nil}, true
	}
	return Question{}, false
}

// leapt asks about a water that changed faster than waters do.
func leapt(r Reading, k Known) (Question, bool) {
	last, ok := k.Last[r.Key()]
	days, dated := daysBetween(last.Date, k.Date)
	if !ok || !dated {
		return Question{}, false
	}
	var limit float64
	switch r.Of {
	case plant.FeedStrength, plant.FeedHardness:
		limit = math.Log(1.5) + 0.004*math.Min(days, 100)
	case plant.PermeateFlow, plant.ConcentrateFlow:
		limit = math.Log(1.6) + 0.003*math.Min(days, 200)
	default:
		return Question{}, false
	}
	if r.SI > 0 && last.SI > 0 && math.Abs(math.Log(r.SI/last.SI)) > limit {
		return Question{AskRate, []string{r.Key()}, fmt.Sprintf("%s reads %s; %.0f days before it was %s. Read it once more?", upper(r.Of.Title()), r.Typed, days, k.show(r.Of, last.SI)), nil}, true
	}
	return Question{}, false
}

func daysBetween(from, to string) (days float64, ok bool) {
	a, err1 := time.Parse(time.DateOnly, from)
	b, err2 := time.Parse(time.DateOnly, to)
	if err1 != nil || err2 != nil || b.Before(a) {
		return 0, false
	}
	return b.Sub(a).Hours() / 24, true
}

// repeated asks about a gauge that was read twice and is not one.
func repeated(read []Reading) (all []Question) {
	for i, a := range read {
		for _, b := range read[i+1:] {
			if a.Key() != b.Key() || a.Timed && b.Timed && a.Of == plant.PermeateStrength && a.Running != b.Running {
				continue
			}
			if math.Abs(a.SI-b.SI) > 3*doubtOf(a, b) {
				all = append(all, Question{AskRepeat, []string{a.Key()}, fmt.Sprintf("%s was read as %s and as %s: read it a third time?", upper(a.Of.Title()), a.Typed, b.Typed), nil})
			}
		}
	}
	return all
}

// unbalanced asks about salt or water that does not close.
func unbalanced(read []Reading, k Known) (all []Question) {
	measured := func(g plant.Gauge) (commissioning.Measured, bool) {
		r, ok := find(read, g)
		return commissioning.Measured{Of: g, Y: r.SI, U: (commissioning.Instrument{Name: r.Instrument}).Doubt(r.Reading, r.ScaleUnknown()), By: r.Instrument}, ok
	}
	qp, ok1 := measured(plant.PermeateFlow)
	qc, ok2 := measured(plant.ConcentrateFlow)
	if !ok1 || !ok2 {
		return nil
	}
	var balances []commissioning.Balance
	if qf, ok := measured(plant.FeedFlow); ok {
		if b, err := commissioning.Water(qf, qp, qc); err == nil {
			balances = append(balances, b)
		}
	}
	kf, ok1 := measured(plant.FeedStrength)
	kp, ok2 := measured(plant.PermeateStrength)
	kc, ok3 := measured(plant.ConcentrateStrength)
	if ok1 && ok2 && ok3 {
		if b, err := commissioning.Salt(qp, qc, kf, kp, kc, nil); err == nil {
			balances = append(balances, b)
		}
	}
	for _, b := range balances {
		if b.Closes || len(b.Suspects) == 0 {
			continue
		}
		s := b.Suspects[0]
		key := plant.Reading{Of: s.Of, Number: s.Number}.Key()
		all = append(all, Question{AskBalance, []string{key}, fmt.Sprintf("%s does not close by %s %%: is %s right? %s times what was read would close it.",
			upper(b.Name), strconv.FormatFloat(100*math.Abs(b.Off), 'f', 0, 64), s.Of.Title(), quantity.Rewrite(strconv.FormatFloat(s.Factor, 'f', 2, 64), quantity.Locale{}, k.Locale)), nil})
	}
	return all
}
