package resin

import (
	"rinsewright/quantity"
	"rinsewright/water"
)

// usualWater is the temperature of a column that was given none.
const usualWater = quantity.Temperature(288.15)

// setRates turns the column's duty into shares per shift.
func (r *ColumnRun) setRates(c Column) {
	if c.Duty == (Duty{}) {
		return
	}
	d := c.Duty.filled()
	if c.Duty.CationParticle == 0 {
		d.CationParticle = softenParticle
	}
	t := c.Temperature
	if t == 0 {
		t = usualWater
	}
	r.rates = columnRates{duty: d, volume: c.Volume, t: t}
	r.rates.at(d.Flow, r.step, len(r.guess))
}

// at sets the shares for a flow. A bed of one resin is all surface.
func (x *columnRates) at(f quantity.Flow, step float64, cells int) {
	if x.volume == 0 {
		return // no rates
	}
	d := x.duty
	d.Flow = f
	units := d.units(x.volume, water.Calcium, 1, x.t) / float64(cells)
	kt := d.particle(d.CationParticle, x.t) * step * float64(x.volume) / float64(f)
	x.reached = reachedBy(units)
	x.weight = x.reached * (1 + kt) / kt
}

func (c Column) checkRates(operation string) error {
	if c.Duty == (Duty{}) {
		return nil
	}
	t := c.Temperature
	if t == 0 {
		t = usualWater
	}
	return firstError(
		c.Duty.check(operation),
		within(operation, "bed volume", float64(c.Volume), 1e-6, mostBedVolume, "m³"),
		within(operation, "temperature", t.Celsius(), -0.01, 60, "°C"),
	)
}
