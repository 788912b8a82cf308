package carbon

import (
	"math"

	"rinsewright/quantity"
)

// How the rate on carbon depends on the water.
const (
	doublingTemperature = 20.0   // K per doubling of the rate [SalePages]
	referenceCelsius    = 20.0   // °C
	pHFactor            = 4.0    // as fast at pH 5 to 6 as at 8 to 10, this many times [SalePages]
	acidPH, alkalinePH  = 5.5, 9 // middles of those two ranges
	chloramineUse       = 3.0    // capacity that chloramine uses, against chlorine of the same Cl2 [Memory]
)

// Challenge is the chlorine that reaches the carbon, as Cl2, and the conditions
// that set how fast it reacts.
type Challenge struct {
	FreeChlorine quantity.MassConc
	Chloramine   quantity.MassConc // total less free
	Temperature  quantity.Temperature
	PH           quantity.PH
}

func (c Challenge) check(operation string) error {
	return firstError(
		within(operation, "free chlorine", float64(c.FreeChlorine), 0, 0.1, "kg/m³"),
		within(operation, "chloramine", float64(c.Chloramine), 0, 0.1, "kg/m³"),
		within(operation, "temperature", c.Temperature.Celsius(), -0.01, 60, "°C"),
		within(operation, "pH", float64(c.PH), 2, 12, ""),
	)
}

// speed is the rate against the reference conditions, dimensionless.
func (c Challenge) speed() float64 {
	warm := math.Exp2((c.Temperature.Celsius() - referenceCelsius) / doublingTemperature)
	pH := min(max(float64(c.PH), acidPH), alkalinePH)
	middle := (acidPH + alkalinePH) / 2.0
	return warm * math.Pow(pHFactor, (middle-pH)/(alkalinePH-acidPH))
}

// use is how fast the challenge uses up capacity, kg of Cl2 per m³ of feed.
func (c Challenge) use() float64 {
	return float64(c.FreeChlorine) + chloramineUse*float64(c.Chloramine)
}

// Leak is what passes the carbon to the membrane, as Cl2.
type Leak struct {
	FreeChlorine, Chloramine quantity.MassConc
}

// Total returns free chlorine and chloramine together, what a total chlorine
// test shows.
func (l Leak) Total() quantity.MassConc { return l.FreeChlorine + l.Chloramine }

// Leak returns what passes the bed at a flow, with a share of its capacity used:
//
//	C = C0 2^(-τ s (1-u) / t½)
//	s = 2^((T-20)/20) 4^((7.25-pH)/3.5),  pH held within 5.5 to 9
//
// Source: half-value form [HalfLength]; dependence on temperature and pH
// [SalePages]; the share of sites left as rate is [Memory]. Half-value times
// are good to a factor of 1.6. Valid 0 to 60 °C, pH 2 to 12, 0 to 100 mg/L,
// 0 ≤ u ≤ 1. The error wraps [ErrRange].
func (b Bed) Leak(c Challenge, f quantity.Flow, used quantity.Ratio) (Leak, error) {
	const operation = "carbon leak"
	contact, err := b.ContactTime(f)
	if err := firstError(err, b.check(operation), c.check(operation),
		within(operation, "used share", float64(used), 0, 1, "")); err != nil {
		return Leak{}, err
	}
	return b.leak(c, contact, float64(used)), nil
}

// leak is Leak on inputs already checked.
func (b Bed) leak(c Challenge, contact quantity.Time, used float64) Leak {
	effective := float64(contact) * c.speed() * (1 - used) // s
	return Leak{
		FreeChlorine: c.FreeChlorine * quantity.MassConc(math.Exp2(-effective/float64(b.ChlorineHalf))),
		Chloramine:   c.Chloramine * quantity.MassConc(math.Exp2(-effective/float64(b.ChloramineHalf))),
	}
}
