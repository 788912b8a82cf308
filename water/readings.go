package water

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// take turns the sample into readings with their doubts and fixes the minor
// ions.
func (f *settledFit) take() error {
	if err := f.sample.check(); err != nil {
		return err
	}
	if err := f.takeStrength(); err != nil {
		return err
	}
	s, a := &f.sample, f.sample.accuracy()
	if s.Temperature.Known {
		f.add("temperature", float64(s.Temperature.Value), deviation(float64(a.Temperature)),
			func(m *made) float64 { return m.x[atTemperature] },
			func(x float64) string { return quantity.Format(quantity.Temperature(x), quantity.SI) })
	}
	if s.PH.Known {
		f.add("pH", float64(s.PH.Value), deviation(float64(a.PH)), func(m *made) float64 { return m.x[atPH] },
			func(x float64) string { return fmt.Sprintf("%.2f", x) })
	}
	if s.Hardness.Known {
		f.add("hardness", float64(s.Hardness.Value.Equivalents()), kitDoubt(s.Hardness.Value, a.Hardness, a.Share),
			func(m *made) float64 { return hardnessOf(&m.water) }, hardnessText)
	}
	if s.Alkalinity.Known {
		f.add("alkalinity", float64(s.Alkalinity.Value.Equivalents()), kitDoubt(s.Alkalinity.Value, a.Alkalinity, a.Share),
			func(m *made) float64 { return float64(m.water.Alkalinity) }, hardnessText)
	}
	f.takeIons(a)
	if !f.says() {
		return ErrNoStrength
	}
	return nil
}

// says reports whether anything tells how strong the water is.
func (f *settledFit) says() bool {
	for _, r := range f.readings {
		if r.name != "temperature" && r.name != "pH" && r.name != Silica.String() {
			return true
		}
	}
	return false
}

func (f *settledFit) add(name string, value, sd float64, of func(*made) float64, text func(float64) string) {
	f.readings = append(f.readings, reading{name: name, value: value, sd: sd, of: of, text: text})
}

func hardnessText(equivalents float64) string {
	c := asCaCO3(equivalents)
	return fmt.Sprintf("%.0f mg/L as CaCO3 (%.1f gpg)", c.MilligramsPerLitreCaCO3(), c.GrainsPerGallon())
}

// kitDoubt is the standard deviation of a drop count, eq/m³.
func kitDoubt(read, limit quantity.CaCO3Conc, share quantity.Ratio) float64 {
	worst := math.Max(float64(limit), float64(share)*float64(read))
	return deviation(float64(quantity.CaCO3Conc(worst).Equivalents()))
}

// takeStrength derives the conductivity at 25 °C from whatever meter was used.
func (f *settledFit) takeStrength() error {
	s := f.sample.Strength
	limit := deviation(float64(f.sample.accuracy().Strength))
	scaleSD := 0.0
	switch {
	case s.Conductivity.Known:
		f.read = float64(s.Conductivity.Value)
	case f.scaleUnknown():
		f.strength("strength", math.Log(s.PPM.Value.MilligramsPerLitre()), math.Hypot(limit, conductivityModelSD),
			func(m *made) float64 { return math.Log(m.conductivity*microPerSiemen) + m.x[atScale] }, ppmText)
		return nil
	case s.PPM.Known && s.PPM.Value > 0:
		scale, err := ScaleNamed(s.Scale)
		if err != nil {
			return err
		}
		c, err := scale.Conductivity(s.PPM.Value)
		if err != nil {
			return err
		}
		f.read, scaleSD = float64(c), namedScaleSD
	}
	if f.read > 0 {
		sd := math.Sqrt(limit*limit + scaleSD*scaleSD + conductivityModelSD*conductivityModelSD)
		f.strength("conductivity", math.Log(f.read), sd, func(m *made) float64 { return math.Log(m.conductivity) }, conductivityText)
	}
	return nil
}

func (f *settledFit) strength(name string, value, sd float64, of func(*made) float64, text func(float64) string) {
	f.needsConductivity = true
	f.add(name, value, sd, of, text)
}

func conductivityText(ln float64) string {
	return quantity.Format(quantity.Conductivity(math.Exp(ln)), quantity.SI)
}

func ppmText(ln float64) string { return fmt.Sprintf("%.0f ppm", math.Exp(ln)) }

// takeIons adds the main ions and keeps the minor ones.
func (f *settledFit) takeIons(a Accuracy) {
	s := &f.sample
	floor := ionFloorKit
	if s.Laboratory() || s.full() {
		floor = ionFloorLaboratory
	}
	for _, c := range majors {
		if !s.looked(c) {
			continue
		}
		of := func(m *made) float64 { return float64(c.Mass(m.water.Total[c])) }
		text := func(x float64) string { return quantity.Format(quantity.MassConc(x), quantity.SI) }
		if e := s.Ions[c]; e.Known {
			f.add(c.String(), float64(e.Value), math.Hypot(deviation(float64(a.Ion))*float64(e.Value), floor), of, text)
			continue
		}
		bound := float64(s.Below[c])
		f.add(c.String(), bound, math.Max(bound/10, 1e-6), of, text)
		f.readings[len(f.readings)-1].bound = true
	}
	for _, c := range minors {
		if s.looked(c) {
			f.minor[c] = float64(s.amount(c))
		}
	}
}

// check refuses readings that are no numbers or beyond any water.
func (s Sample) check() error {
	const operation = "sample"
	for _, r := range []struct {
		known     bool
		name      string
		x         float64
		low, high float64
	}{
		{s.Strength.Conductivity.Known, "conductivity (S/m)", float64(s.Strength.Conductivity.Value), 0, 20},
		{s.Strength.PPM.Known, "strength (kg/m³)", float64(s.Strength.PPM.Value), 0, strongestPen},
		{s.Temperature.Known, "temperature (°C)", s.Temperature.Value.Celsius(), 0, 60},
		{s.PH.Known, "pH", float64(s.PH.Value), 3, 11.5},
		{s.Hardness.Known, "hardness (kg/m³ as CaCO3)", float64(s.Hardness.Value), 0, 100},
		{s.Alkalinity.Known, "alkalinity (kg/m³ as CaCO3)", float64(s.Alkalinity.Value), -10, 100},
	} {
		if r.known {
			if err := inRange(operation, r.name, r.x, r.low, r.high); err != nil {
				return err
			}
		}
	}
	for c := range NComponents {
		if e := s.Ions[c]; e.Known {
			if err := inRange(operation, c.String()+" (kg/m³)", float64(e.Value), 0, 200); err != nil {
				return err
			}
		}
		if err := inRange(operation, "bound of "+c.String()+" (kg/m³)", float64(s.Below[c]), 0, 200); err != nil {
			return err
		}
	}
	return nil
}

// fits lists how each reading agrees.
func (f *settledFit) fits() (all []Fit) {
	for i, r := range f.readings {
		all = append(all, Fit{r.name, f.at.residuals[nPrior+i], f.apart[r.name]})
	}
	return all
}

// assumptions tells what nobody measured, and what was taken.
func (f *settledFit) assumptions(c *Completion) (all []Assumption) {
	s, w := &f.sample, &c.Water
	say := func(known bool, what, value, why string) {
		if !known {
			all = append(all, Assumption{what, value, why})
		}
	}
	share := func(x int) string { return fmt.Sprintf("%.0f %%", 100*shareOf(f.at.x[x])) }
	say(!f.scaleUnknown(), "scale of the pen", fmt.Sprintf("%.2f ppm per µS/cm", math.Exp(f.at.x[atScale])),
		"nobody said whether its ppm is NaCl, KCl or 442; they differ by 40 %")
	say(s.Temperature.Known, "water temperature", fmt.Sprintf("%.0f °C", w.Temperature.Celsius()), "not measured")
	say(s.PH.Known, "pH", fmt.Sprintf("%.1f", f.at.x[atPH]), "not measured; it sets the carbon dioxide, which a pen hardly sees")
	say(s.looked(Silica), "silica", fmt.Sprintf("%.0f mg/L", Silica.Mass(w.Total[Silica]).MilligramsPerLitre()), "not measured; a colour kit tells")
	say(s.Hardness.Known || s.looked(Calcium) && s.looked(Magnesium), "hardness", share(atHardness)+" of the cations", "not measured; a drop kit tells")
	say(s.looked(Calcium) || s.looked(Magnesium), "calcium", share(atCalcium)+" of the hardness", "the drop kit counts calcium and magnesium together")
	say(s.Alkalinity.Known, "alkalinity", share(atAlkalinity)+" of the anions", "not measured; a drop kit tells")
	say(s.looked(Chloride) || s.looked(Sulphate), "sulphate", share(atSulphate)+" of sulphate and chloride", "neither measured; a strip tells them apart")
	return all
}
