package water

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"rinsewright/quantity"
)

// ErrNoStrength says that a sample has too little to make a water of.
var ErrNoStrength = errors.New("no strength: wanted one pen reading, one conductivity, a hardness, an alkalinity or an ion")

// Assumption is something nobody said and what was taken instead.
type Assumption struct {
	What  string
	Value string
	Why   string
}

// Completion is a whole water made of a partial sample.
type Completion struct {
	Water        Water
	Solution     Solution
	Read         quantity.Conductivity // at 25 °C, what the strength reading says; 0 when there was none
	Conductivity quantity.Conductivity // at 25 °C, of the completed water
	Assumed      []Assumption

	// Contradictions say in words which readings cannot all be true; Fits has
	// the same in numbers, every reading in the order of the sample.
	Contradictions []string
	Fits           []Fit

	// Full is true when the sample had every main ion, alkalinity and pH: Water
	// is then the analysis as it was printed, Imbalance its charge error
	// (cations less anions over their sum), and Neutral the water
	// that a plant can be fed with.
	Full      bool
	Imbalance quantity.Ratio
	Neutral   Water

	// Unjudged are minerals that nobody can speak of, since an ion of theirs
	// was not looked for.
	Unjudged []Mineral
}

// Fit is how one reading agrees with the rest.
type Fit struct {
	Reading string
	// Off is what the completed water shows less what was read, in standard
	// deviations of the reading's own doubt, a number.
	Off float64
	// Apart is how far the reading stands from what the other readings allow, in
	// standard deviations of both, a number; 0 when nobody needed to ask.
	Apart float64
}

// Complete makes the electroneutral water that agrees best with the readings of
// s, each weighed by its accuracy, and with p for what nobody measured:
//
//	minimise Σ ((shown − read)/sd)² + Σ ((x − middle)/width)²
//
// over the water's inside x, of which every value gives a positive and neutral
// composition. Conductivity is this package's model of the
// speciated water, with its own doubt [ConductivityDoubt]. Minor ions are as read, or none. A full
// analysis passes unchanged; its charge error is in Imbalance.
//
// Readings that cannot all be true are named in Contradictions, and the one
// that stands farthest from the rest is then believed less. Source: weighted least squares as
// [JCGM100] annex H.3 and [Nocedal2006] section 10.3. The error wraps [ErrNoStrength], [ErrRange]
// for a reading that is none, or is that of [WithPH].
func Complete(s Sample, p Prior) (Completion, error) {
	c, _, err := completed(s, p)
	if err != nil {
		return Completion{}, fmt.Errorf("complete water: %w", err)
	}
	return c, nil
}

// completed also returns where the fit ended, for an ensemble to start from.
func completed(s Sample, p Prior) (Completion, *settledFit, error) {
	f, err := newSettledFit(s, p)
	if err != nil {
		return Completion{}, nil, err
	}
	c, err := f.completion(&f.at.x)
	if err != nil {
		return Completion{}, nil, err
	}
	c.Contradictions, c.Fits = f.contradictions, f.fits()
	c.Assumed = f.assumptions(&c)
	c.Unjudged = unjudged(s)
	if err := c.passFull(s); err != nil {
		return Completion{}, nil, err
	}
	return c, f, nil
}

// settledFit is a fit that has been made, with the sample it was made of.
type settledFit struct {
	fit
	sample         Sample
	at             fitted
	read           float64 // S/m at 25 °C
	contradictions []string
	apart          map[string]float64
}

func newSettledFit(s Sample, p Prior) (*settledFit, error) {
	f := settledFit{sample: s, apart: map[string]float64{}}
	f.prior = priorFit{middle: p.middle(), slack: 1}
	if err := f.take(); err != nil {
		return nil, err
	}
	var ok bool
	for _, more := range []float64{0, 1, 2, 3, 4.5} { // of alkalinity, where silicate alone would carry more than was read
		x := f.start()
		x[atAlkalinity] += more
		x[atSilica] -= more / 2
		if f.at, ok = f.best(x); ok {
			break
		}
	}
	if !ok {
		return nil, f.refuse()
	}
	f.contradict()
	return &f, nil
}

// refuse says why no water starts: mostly an alkalinity that pH forbids.
func (f *settledFit) refuse() error {
	x := f.start()
	w, ok := compose(&x, &f.minor)
	if !ok {
		return fmt.Errorf("%w: the minor anions carry more charge than all cations", ErrImpossible)
	}
	if _, _, err := WithPH(w, x[atPH]); err != nil {
		return err
	}
	return ErrImpossible
}

// completion gives x its carbon and its species.
func (f *settledFit) completion(x *inside) (Completion, error) {
	w, ok := compose(x, &f.minor)
	if !ok {
		return Completion{}, ErrImpossible
	}
	w, solution, err := WithPH(w, x[atPH])
	if err != nil {
		return Completion{}, err
	}
	at25, err := w.Conductivity25()
	if err != nil {
		return Completion{}, err
	}
	read := f.read
	if f.scaleUnknown() {
		read = f.sample.Strength.PPM.Value.MilligramsPerLitre() / math.Exp(x[atScale]) / microPerSiemen
	}
	return Completion{Water: w, Neutral: w, Solution: solution, Read: quantity.Conductivity(read), Conductivity: at25}, nil
}

func (f *settledFit) scaleUnknown() bool {
	s := f.sample.Strength
	return !s.Conductivity.Known && s.PPM.Known && s.Scale == "" && s.PPM.Value > 0
}

// start is a rough water: the pen's charge, the kits' shares, the prior's rest.
func (f *settledFit) start() inside {
	x, s := f.prior.middle, &f.sample
	charges := f.read / 0.0105 // a fresh water conducts some 10.5 mS/m per eq/m³
	if f.scaleUnknown() {
		charges = s.Strength.PPM.Value.MilligramsPerLitre() / math.Exp(x[atScale]) / microPerSiemen / 0.0105
	}
	hard, alkaline := float64(s.Hardness.Value.Equivalents()), float64(s.Alkalinity.Value.Equivalents())
	charges = math.Max(math.Max(charges, 1.02*math.Max(hard, alkaline)), 1e-3)
	if !(f.read > 0) && !f.scaleUnknown() {
		charges = math.Max(charges*1.2, f.chargeOfIons())
	}
	x[atCharge] = math.Log(charges)
	if s.Hardness.Known {
		x[atHardness] = logOdds(quantity.Ratio(math.Min(math.Max(hard/charges, 0.01), 0.97)))
	}
	if s.Alkalinity.Known {
		x[atAlkalinity] = logOdds(quantity.Ratio(math.Min(math.Max(alkaline/charges, 0.01), 0.97)))
	}
	if s.PH.Known {
		x[atPH] = math.Min(math.Max(float64(s.PH.Value), 3.1), 11.4)
	}
	if s.Temperature.Known {
		x[atTemperature] = math.Min(math.Max(float64(s.Temperature.Value), zeroCelsius+0.1), zeroCelsius+59.9)
	}
	return x
}

func (f *settledFit) chargeOfIons() float64 {
	var sum [2]float64
	for c, e := range f.sample.Ions {
		if e.Known && c.Charge() != 0 {
			side := 0
			if c.Charge() < 0 {
				side = 1
			}
			sum[side] += float64(c.Equivalents(c.Molar(e.Value)))
		}
	}
	return math.Max(sum[0], sum[1])
}

// full reports whether every main ion, alkalinity and pH were looked for;
// potassium and nitrate may be missing.
func (s Sample) full() bool {
	for _, c := range []Component{Calcium, Magnesium, Sodium, Chloride, Sulphate} {
		if !s.looked(c) {
			return false
		}
	}
	return s.Alkalinity.Known && s.PH.Known
}

// looked reports whether c was looked for: read, or found below a bound.
func (s Sample) looked(c Component) bool {
	_, below := s.Below[c]
	return below || s.Ions[c].Known
}

// amount is what an analysis says of c; half of a bound where it was below.
func (s Sample) amount(c Component) quantity.MolarConc {
	if e := s.Ions[c]; e.Known {
		return c.Molar(e.Value)
	}
	return c.Molar(s.Below[c]) / 2
}

// passFull puts the printed analysis in place of the fitted water.
func (c *Completion) passFull(s Sample) error {
	if c.Full = s.full(); !c.Full {
		return nil
	}
	w := Water{Alkalinity: s.Alkalinity.Value.Equivalents(), Temperature: s.Temperature.Or(c.Water.Temperature)}
	for ion := range NComponents {
		if ion != Carbon {
			w.Total[ion] = s.amount(ion)
		}
	}
	if !s.looked(Silica) {
		w.Total[Silica] = c.Water.Total[Silica]
	}
	w, solution, err := WithPH(w, float64(s.PH.Value))
	if err != nil {
		return err
	}
	c.Water, c.Solution, c.Imbalance = w, solution, w.ChargeBalance()
	c.Conductivity, err = w.Conductivity25()
	return err
}

// Neutralised returns c with its neutral water in place of a printed analysis.
// Errors as [Equilibrate].
func (c Completion) Neutralised() (Completion, error) {
	s, err := Equilibrate(c.Neutral)
	if err != nil {
		return c, err
	}
	c.Water, c.Solution = c.Neutral, s
	c.Conductivity, err = c.Neutral.Conductivity25()
	return c, err
}

// BalancedBy returns the water of c with all its charge error put on one ion,
// sodium or chloride mostly, for whoever wants to name it. The error wraps
// [ErrImpossible] when the ion would be less than none, [ErrRange] for one
// without charge.
func (c Completion) BalancedBy(ion Component) (Water, error) {
	w := c.Water
	z := float64(ion.Charge())
	if z == 0 || ion == Carbon {
		return w, fmt.Errorf("balance a water by %s: it carries no charge of its own: %w", ion, ErrRange)
	}
	amount := float64(w.Total[ion]) - float64(w.ChargeImbalance())/z
	if !(amount >= 0) {
		return w, fmt.Errorf("balance a water by %s: it would be less than none: %w", ion, ErrImpossible)
	}
	w.Total[ion] = concentration(amount)
	return w, nil
}

// unjudged are the minerals whose rarer ion nobody looked for.
func unjudged(s Sample) (all []Mineral) {
	for _, m := range []struct {
		mineral Mineral
		ion     Component
	}{{Barite, Barium}, {Celestite, Strontium}, {Fluorite, Fluoride}, {Hydroxyapatite, Phosphate}} {
		if !s.looked(m.ion) {
			all = append(all, m.mineral)
		}
	}
	return all
}

// ScaleNamed returns the pen's scale of a name, "NaCl", "KCl" or "442", or of
// a factor such as "0.5". The error names what was read.
func ScaleNamed(name string) (Scale, error) {
	switch name {
	case "NaCl":
		return ScaleNaCl, nil
	case "KCl":
		return ScaleKCl, nil
	case "442":
		return Scale442, nil
	}
	f, err := strconv.ParseFloat(name, 64)
	if err != nil || !(0.3 <= f && f <= 1) {
		return Scale{}, fmt.Errorf("%w: scale %q, wanted NaCl, KCl, 442 or a factor from 0.3 to 1", ErrRange, name)
	}
	return CustomScale(f)
}
