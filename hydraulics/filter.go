package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// FilterExponent is the power of flow in a cartridge's drop when its own is not
// known: laminar through the media, turbulent in the housing.
//
// Source: [TradeHydraulics].
const FilterExponent = 1.3

// Filter is a cartridge whose resistance grows with what it has caught. It is a
// [Resistance].
type Filter struct {
	Rating     quantity.Length   // what it holds back, as its maker rates it
	CleanDrop  quantity.Pressure // new, at RatedFlow
	RatedFlow  quantity.Flow
	Exponent   float64           // of flow; 0 means [FilterExponent]
	ChangeDrop quantity.Pressure // to be changed at this drop, at RatedFlow
	Holds      quantity.Mass     // dirt caught when it reaches ChangeDrop; 0 when not known
	Loading    quantity.Ratio    // dirt caught, share of Holds: 0 new, 1 due
}

// Loss returns the drop at a flow:
//
//	Δp = Δp_clean (Q/Q_r)^n (Δp_change/Δp_clean)^x      x the loading
//
// so that it is the clean drop when new and the change drop when due. Depth
// filters load so, slowly and then fast.
//
// Source: [TradeHydraulics]; growth is a rule of thumb. The error wraps
// [ErrRange] unless 0 < clean < change ≤ 10 MPa, 1 ≤ n ≤ 2, 0 ≤ x ≤ 3 and |Q| is
// within 1000 times the rated flow.
func (f Filter) Loss(q quantity.Flow, fluid Fluid) (quantity.Pressure, error) {
	err := first(f.check(), fluid.check(), within("loading", f.Loading, 0, 3, ""), within("flow", q, -1e3*f.RatedFlow, 1e3*f.RatedFlow, "m³/s"))
	if err != nil {
		return 0, fmt.Errorf("filter loss: %w", err)
	}
	x := math.Abs(float64(q / f.RatedFlow))
	drop := float64(f.CleanDrop) * math.Pow(x, f.exponent()) * math.Pow(float64(f.ChangeDrop/f.CleanDrop), float64(f.Loading))
	return quantity.Pressure(math.Copysign(drop, float64(q))), nil
}

// LoadingAt returns the loading that a measured drop at a flow tells, the
// inverse of [Filter.Loss]; below zero means less than the clean drop. The error
// wraps [ErrRange] as there, and unless drop and flow are above zero.
func (f Filter) LoadingAt(drop quantity.Pressure, q quantity.Flow) (quantity.Ratio, error) {
	err := first(f.check(), above("drop", drop, 0, maxPressure, "Pa"), within("flow", q, 1e-3*f.RatedFlow, 1e3*f.RatedFlow, "m³/s"))
	if err != nil {
		return 0, fmt.Errorf("filter loading: %w", err)
	}
	atRated := float64(drop) / math.Pow(float64(q/f.RatedFlow), f.exponent()) // Pa
	return quantity.Ratio(math.Log(atRated/float64(f.CleanDrop)) / math.Log(float64(f.ChangeDrop/f.CleanDrop))), nil
}

// Due says whether the filter has reached its change point.
func (f Filter) Due() bool { return f.Loading >= 1 }

// VolumeToChange returns how much water passes before the filter is due, with
// so much silt caught from each litre. The error wraps [ErrRange] unless the
// mass it holds is known, silt above zero, and the loading from 0 to 3; a filter
// past its change point gives 0.
func (f Filter) VolumeToChange(silt quantity.MassConc) (quantity.Volume, error) {
	err := first(
		above("dirt held", f.Holds, 0, 1e4, "kg"), within("silt", silt, 1e-9, 100, "kg/m³"),
		within("loading", f.Loading, 0, 3, ""),
	)
	if err != nil {
		return 0, fmt.Errorf("filter life: %w", err)
	}
	left := math.Max(0, 1-float64(f.Loading))
	return quantity.Volume(left * float64(f.Holds) / float64(silt)), nil
}

// After returns the filter with a volume of water gone through it. Errors are
// those of [Filter.VolumeToChange], and [ErrRange] for a volume below zero or a
// loading above 3.
func (f Filter) After(v quantity.Volume, silt quantity.MassConc) (Filter, error) {
	if _, err := f.VolumeToChange(silt); err != nil {
		return Filter{}, err
	}
	loading := f.Loading + quantity.Ratio(float64(v)*float64(silt)/float64(f.Holds))
	if err := first(within("volume", v, 0, 1e9, "m³"), within("loading", loading, 0, 3, "")); err != nil {
		return Filter{}, fmt.Errorf("filter loading: %w", err)
	}
	f.Loading = loading
	return f, nil
}

func (f Filter) exponent() float64 {
	if f.Exponent == 0 {
		return FilterExponent
	}
	return f.Exponent
}

func (f Filter) check() error {
	return first(
		within("clean drop", f.CleanDrop, 1, 1e7, "Pa"), above("change drop", f.ChangeDrop, f.CleanDrop, 1e7, "Pa"),
		within("rated flow", f.RatedFlow, 1e-9, maxFlow, "m³/s"), within("filter exponent", f.exponent(), 1, 2, ""),
	)
}
