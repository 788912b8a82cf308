package water

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"rinsewright/internal/num"
	"rinsewright/quantity"
)

// ErrNoStrength says that a sample has too little to make a water of.
var ErrNoStrength = errors.New("no strength: wanted one pen reading, one conductivity or a full analysis")

// Assumption is something nobody said and what was taken instead.
type Assumption struct {
	What  string
	Value string
	Why   string
}

// Completion is a whole water made of a partial sample.
type Completion struct {
	Water          Water
	Solution       Solution
	Read           quantity.Conductivity // at 25 °C, what the strength reading says; 0 when there was none
	Conductivity   quantity.Conductivity // at 25 °C, of the completed water
	Assumed        []Assumption
	Contradictions []string
}

// Complete makes the electroneutral water that agrees with the readings of s
// and takes the rest from p: calcium and magnesium from the hardness, carbon
// from pH and alkalinity, and sodium against chloride, sulphate and nitrate
// in such an amount that the conductivity is the one that was read. A full
// analysis passes unchanged but for the ion that closes its charge.
//
// Readings that cannot all be true (more hardness than the conductivity can
// carry) are named in Contradictions; the kits are then believed over the pen.
// Source: charge balance and the conductivity model of this package. The error
// wraps [ErrNoStrength], or is that of [WithPH].
func Complete(s Sample, p Prior) (Completion, error) {
	b := builder{sample: s, prior: p}
	if err := b.readings(); err != nil {
		return Completion{}, fmt.Errorf("complete water: %w", err)
	}
	charge, err := b.charge()
	if err != nil {
		return Completion{}, fmt.Errorf("complete water: %w", err)
	}
	w, solution, conductivity, err := b.water(charge)
	if err != nil {
		return Completion{}, fmt.Errorf("complete water: %w", err)
	}
	b.compare(conductivity)
	return Completion{w, solution, quantity.Conductivity(b.read), conductivity, b.assumed, b.contradictions}, nil
}

// builder carries a completion along.
type builder struct {
	sample         Sample
	prior          Prior
	read           float64 // S/m at 25 °C
	base           Water   // what is known for sure
	hardness       float64 // eq/m³, NaN when a share is taken
	alkalinity     float64 // eq/m³, NaN when a share is taken
	sodium         bool    // known
	anions         bool    // chloride, sulphate and nitrate all known
	assumed        []Assumption
	contradictions []string
}

func (b *builder) assume(what, value, why string) {
	b.assumed = append(b.assumed, Assumption{what, value, why})
}

func percent(r quantity.Ratio) string { return fmt.Sprintf("%.0f %%", 100*float64(r)) }

// readings turns the sample into amounts and notes what has to be assumed.
func (b *builder) readings() error {
	s, p := &b.sample, b.prior
	if err := b.strength(); err != nil {
		return err
	}
	if !s.Temperature.Known {
		s.Temperature = quantity.Told(p.Temperature)
		b.assume("water temperature", fmt.Sprintf("%.0f °C", p.Temperature.Celsius()), "not measured")
	}
	if !s.PH.Known {
		s.PH = quantity.Told(min(max(p.PH, 4.5), 9.5))
		b.assume("pH", fmt.Sprintf("%.1f", float64(s.PH.Value)), "not measured; it sets the carbon dioxide, which a pen hardly sees")
	}
	b.base.Temperature = s.Temperature.Value
	for c := range NComponents {
		if e, ok := s.Ions[c]; ok && e.Known && c != Carbon {
			b.base.Total[c] = c.Molar(e.Value)
		}
	}
	if !b.has(Silica) {
		b.base.Total[Silica] = Silica.Molar(p.Silica)
		b.assume("silica", fmt.Sprintf("%.0f mg/L", p.Silica.MilligramsPerLitre()), "not measured; a colour kit tells")
	}
	b.hardnessReading()
	b.alkalinity = math.NaN()
	if s.Alkalinity.Known {
		b.alkalinity = float64(s.Alkalinity.Value.Equivalents())
	} else {
		b.assume("alkalinity", percent(p.AlkalinityShare)+" of the anions", "not measured; a drop kit tells")
	}
	b.sodium = b.has(Sodium)
	b.anions = b.has(Chloride) && b.has(Sulphate)
	return nil
}

func (b *builder) has(c Component) bool { return b.sample.Ions[c].Known }

func (b *builder) hardnessReading() {
	s, p := b.sample, b.prior
	known := float64(b.base.Hardness().Equivalents()) // eq/m³
	switch {
	case b.has(Calcium) && b.has(Magnesium):
		b.hardness = known
	case s.Hardness.Known:
		b.hardness = float64(s.Hardness.Value.Equivalents())
		if !b.has(Calcium) && !b.has(Magnesium) {
			b.assume("calcium", percent(p.CalciumShare)+" of the hardness", "the drop kit counts calcium and magnesium together")
		}
	default:
		b.hardness = math.NaN()
		b.assume("hardness", percent(p.HardnessShare)+" of the cations", "not measured; a drop kit tells")
	}
}

// strength derives the conductivity at 25 °C from whatever meter was used.
func (b *builder) strength() error {
	s := b.sample.Strength
	switch {
	case s.Conductivity.Known:
		b.read = float64(s.Conductivity.Value)
	case s.PPM.Known && s.Scale == "":
		f := float64(b.prior.ScaleFactor)
		b.read = float64(quantity.MicrosiemensPerCm(s.PPM.Value.MilligramsPerLitre() / f))
		b.assume("scale of the pen", fmt.Sprintf("%.2f ppm per µS/cm", f), "nobody said whether its ppm is NaCl, KCl or 442; they differ by 40 %")
	case s.PPM.Known:
		scale, err := ScaleNamed(s.Scale)
		if err != nil {
			return err
		}
		c, err := scale.Conductivity(s.PPM.Value)
		if err != nil {
			return err
		}
		b.read = float64(c)
	}
	return nil
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

// charge finds the cation charge of the water, in eq/m³.
func (b *builder) charge() (float64, error) {
	if b.sodium && !math.IsNaN(b.hardness) {
		return b.hardness + b.cations(), nil
	}
	if b.anions && !math.IsNaN(b.alkalinity) {
		return b.alkalinity + b.strongAnions(), nil
	}
	if !(b.read > 0) {
		return 0, ErrNoStrength
	}
	least := b.least()
	if excess, err := b.excess(least); err != nil {
		return 0, err
	} else if excess >= 0 {
		return least, nil
	}
	var failed error
	f := func(charge float64) float64 {
		e, err := b.excess(charge)
		if err != nil && failed == nil {
			failed = err
		}
		return e
	}
	// No ion carries less than 4 mS/m per eq/m³ in water fit to be rinsed with.
	most := least + b.read/4e-3
	charge, err := num.Root(f, least, most, 1e-6)
	if failed != nil {
		return 0, failed
	}
	if err != nil {
		return 0, fmt.Errorf("match the conductivity of %.0f µS/cm: %w", b.read*1e4, err)
	}
	return charge, nil
}

// least is the smallest charge that holds every reading, in eq/m³.
func (b *builder) least() float64 {
	cations := b.cations()
	if !math.IsNaN(b.hardness) {
		cations += b.hardness
	}
	anions := b.strongAnions()
	if !math.IsNaN(b.alkalinity) {
		anions += b.alkalinity
	}
	// No ion carries more than 30 mS/m per eq/m³, the hydrogen ion apart.
	return max(cations, anions, b.read/30e-3, 1e-4)
}

// cations are the known ones but hardness, in eq/m³.
func (b *builder) cations() (sum float64) {
	for c := range NComponents {
		if c != Calcium && c != Magnesium && c.Charge() > 0 {
			sum += float64(c.Equivalents(b.base.Total[c]))
		}
	}
	return sum
}

func (b *builder) strongAnions() (sum float64) {
	for _, c := range []Component{Chloride, Sulphate, Nitrate, Fluoride} {
		sum += math.Abs(float64(c.Equivalents(b.base.Total[c])))
	}
	return sum
}

func (b *builder) excess(charge float64) (float64, error) {
	_, _, c, err := b.water(charge)
	return float64(c) - b.read, err
}

// water builds the electroneutral water of a cation charge.
func (b *builder) water(charge float64) (Water, Solution, quantity.Conductivity, error) {
	w := b.base
	hard := b.hardness
	if math.IsNaN(hard) {
		hard = float64(b.prior.HardnessShare) * max(charge-b.cations(), 0)
	}
	b.putHardness(&w, hard)
	b.putCations(&w, charge-hard-b.cations())
	alk := b.alkalinity
	if math.IsNaN(alk) {
		alk = float64(b.prior.AlkalinityShare) * max(charge-b.strongAnions(), 0)
	}
	w.Alkalinity = quantity.EquivConc(alk)
	b.putAnions(&w, charge-alk-b.strongAnions())
	w, solution, err := WithPH(w, float64(b.sample.PH.Value))
	if err != nil {
		return w, solution, 0, err
	}
	conductivity, err := w.Conductivity25()
	return w, solution, conductivity, err
}

func (b *builder) putHardness(w *Water, hard float64) {
	calcium := float64(b.prior.CalciumShare) * hard
	switch {
	case b.has(Calcium) && b.has(Magnesium):
		return
	case b.has(Calcium):
		calcium = min(2*float64(w.Total[Calcium]), hard)
	case b.has(Magnesium):
		calcium = max(hard-2*float64(w.Total[Magnesium]), 0)
	}
	w.Total[Calcium] = quantity.MolarConc(calcium / 2)
	w.Total[Magnesium] = quantity.MolarConc((hard - calcium) / 2)
}

// putCations closes the cations with sodium and potassium.
func (b *builder) putCations(w *Water, rest float64) {
	if rest <= 0 {
		return
	}
	potassium := 0.0
	if !b.has(Potassium) && !b.sodium {
		potassium = float64(b.prior.PotassiumShare) * rest
	}
	w.Total[Potassium] += quantity.MolarConc(potassium)
	w.Total[Sodium] += quantity.MolarConc(rest - potassium)
}

// putAnions closes the anions with those of chloride, sulphate and nitrate
// that were not measured; chloride takes the balance of a full analysis.
func (b *builder) putAnions(w *Water, rest float64) {
	if rest <= 0 {
		return
	}
	sulphate, nitrate := 0.0, 0.0
	if !b.has(Sulphate) {
		sulphate = float64(b.prior.SulphateShare) * rest
	}
	if !b.has(Nitrate) && !b.anions {
		nitrate = float64(b.prior.NitrateShare) * rest
	}
	chloride := rest - sulphate - nitrate
	if b.has(Chloride) && !b.has(Sulphate) {
		sulphate, nitrate, chloride = rest, 0, 0
	}
	w.Total[Sulphate] += quantity.MolarConc(sulphate / 2)
	w.Total[Nitrate] += quantity.MolarConc(nitrate)
	w.Total[Chloride] += quantity.MolarConc(chloride)
}

// contradiction is how far, as a share, readings may disagree before it is
// told: outside the pens' and kits' own doubt.
const contradiction = 0.08

func (b *builder) compare(made quantity.Conductivity) {
	if !(b.read > 0) {
		return
	}
	if off := float64(made)/b.read - 1; math.Abs(off) > contradiction {
		b.contradictions = append(b.contradictions, fmt.Sprintf(
			"hardness, alkalinity and ions make %.0f µS/cm, the strength reading says %.0f µS/cm (%+.0f %%): check the pen's scale, then the kits",
			made.MicrosiemensPerCm(), b.read*1e4, 100*off))
	}
}
