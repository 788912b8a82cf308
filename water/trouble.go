package water

import (
	"fmt"

	"rinsewright/quantity"
)

// Trouble is something in a water that harms what stands in its way, beyond a
// limit, and what to do.
type Trouble struct {
	Of      string // iron, silt, ...
	Read    quantity.MassConc
	Limit   quantity.MassConc
	Over    bool   // read is above limit
	Harms   string // what it does
	Do      string // what to do
	Caution string // where it can hurt a person, or ""
	Carbon  bool   // carbon ahead of the membrane takes it, so that in raw water it is no alarm
}

// hazard is one limit. Source: [Practice], the trade's usual figures.
type hazard struct {
	of       string
	limit    float64 // mg/L
	read     func(*Sample) (quantity.Entry[quantity.MassConc], bool)
	harms    string
	do       string
	caution  string
	recovery bool // limit is that of the concentrate
	carbon   bool
}

func ionRead(c Component) func(*Sample) (quantity.Entry[quantity.MassConc], bool) {
	return func(s *Sample) (quantity.Entry[quantity.MassConc], bool) {
		if bound, below := s.Below[c]; below && !s.Ions[c].Known {
			return quantity.Told(bound), true
		}
		return s.Ions[c], false
	}
}

var hazards = []hazard{
	{
		of: "iron", limit: 0.05, read: ionRead(Iron), harms: "fouls membrane, carbon and resin once it meets air or chlorine",
		do: "oxidise and filter it before the carbon, all of it; a softener takes clear-water iron up to about 2 mg/L",
	},
	{
		of: "manganese", limit: 0.05, read: ionRead(Manganese), harms: "stains and fouls as iron does, and oxidises more slowly",
		do: "filter on a medium made for manganese, before the carbon",
	},
	{
		of: "hydrogen sulphide", limit: 0.05, read: func(s *Sample) (quantity.Entry[quantity.MassConc], bool) { return s.Sulphide, false },
		harms: "turns to sulphur that no cleaning removes, passes the membrane as a gas and smells at the gun",
		do:    "below 1 mg/L air it out before the filters, outdoors; above that an oxidising medium; keep air away from what was not treated",
		caution: "hydrogen sulphide is poisonous and dulls the nose: no one in a tank or pit that holds it, air moving, " +
			"and a gas meter where a well vents indoors",
	},
	{
		of: "silica in the concentrate", limit: 120, recovery: true, read: ionRead(Silica), harms: "scales as glass, and no acid takes it off",
		do: "lower the recovery until the concentrate stays below 120 mg/L at 25 °C, less where it is cold",
	},
	{
		of: "free chlorine", carbon: true, limit: 0.1, read: func(s *Sample) (quantity.Entry[quantity.MassConc], bool) { return s.FreeChlorine, false },
		harms: "oxidises a polyamide membrane, whose life is 200 to 1,000 mg/L-hours of it",
		do:    "carbon with 2 minutes of contact or more, tested at its outlet on every visit",
		caution: "never mix chlorine with acid, which sets free a poisonous gas, nor with ammonia; " +
			"wear eye and hand protection with test reagents",
	},
	{
		of: "total chlorine", carbon: true, limit: 0.1, read: func(s *Sample) (quantity.Entry[quantity.MassConc], bool) { return s.TotalChlorine, false },
		harms: "chloramine is gentler than free chlorine, and passes a carbon sized for chlorine",
		do:    "carbon with 7 to 10 minutes of contact, catalytic with 3 to 5; watch the weeks a utility doses free chlorine",
	},
}

// Troubles lists every limit for what was read of s, above it or not; silica is
// judged in the concentrate at the recovery. A sample says nothing of what
// nobody looked for: Unread lists those.
//
// Source: [Practice]: iron and manganese 0.05 mg/L, sulphide before it meets air or an
// oxidant, silica 120 mg/L in the concentrate, chlorine 0.1 mg/L; common practice, no
// source. A recovery outside 0 to 0.95 counts as 0.
func Troubles(s Sample, recovery quantity.Ratio) (read []Trouble, unread []string) {
	if !(recovery >= 0 && recovery <= 0.95) {
		recovery = 0
	}
	for _, h := range hazards {
		e, bound := h.read(&s)
		if !e.Known {
			unread = append(unread, h.of)
			continue
		}
		x := float64(e.Value)
		if h.recovery {
			x /= 1 - float64(recovery)
		}
		t := Trouble{Of: h.of, Read: quantity.MassConc(x), Limit: quantity.MilligramsPerLitre(h.limit), Harms: h.harms, Do: h.do, Caution: h.caution, Carbon: h.carbon}
		t.Over = t.Read > t.Limit && !bound
		read = append(read, t)
	}
	return read, unread
}

// Silt is what a silt density index asks for.
//
//	below 3 good · 3 to 5 marginal · above 5 poor
//
// Source: ASTM D4189 names the test, the limits are common practice, [Practice].
// The error wraps [ErrRange] unless the index is 0 to 6.67, all that 15 minutes can
// give.
func Silt(index float64) (says string, err error) {
	if err := inRange("silt", "silt density index", index, 0, 100.0/15); err != nil {
		return "", err
	}
	switch {
	case index < 3:
		return "good: a 5 µm cartridge is enough", nil
	case index <= 5:
		return "marginal: a coarse cartridge before the fine one, and a lower flux", nil
	}
	return fmt.Sprintf("poor: a membrane fouls at %.1f; settle or filter on media first", index), nil
}

// Hardness is one hardness in every unit that reports use.
type Hardness struct {
	AsCaCO3 quantity.CaCO3Conc // mg/L, and grains per US gallon by its own method
	Charge  quantity.EquivConc // meq/L
	Molar   quantity.MolarConc // of calcium and magnesium, mmol/L
	German  float64            // °dH, 10 mg/L of CaO, a number
	French  float64            // °fH, 10 mg/L of CaCO3, a number
	English float64            // °e, 1 grain of CaCO3 in an imperial gallon, a number
}

// HardnessIn returns h in every unit.
//
// Source: definitions of the degrees, common practice [Practice]; molar masses
// 56.077 (CaO) and 100.087 g/mol (CaCO3).
func HardnessIn(h quantity.CaCO3Conc) Hardness {
	mg := h.MilligramsPerLitreCaCO3()
	return Hardness{h, h.Equivalents(), quantity.MolarConc(float64(h.Equivalents()) / 2), mg * 56.077 / 100.087 / 10, mg / 10, mg / 14.254}
}
