package demand

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Tank is a tank between make-up and guns, its levels told as the volume below
// them. A vented tank has a float that starts and stops make-up and a low-level
// cut-off that stops the delivery pump. A pressurised tank is the same with
// volumes of drawdown.
type Tank struct {
	Total   quantity.Volume // to the overflow
	Stop    quantity.Volume // make-up stops: full
	Start   quantity.Volume // make-up restarts; equal to Stop for a float valve that throttles
	CutOff  quantity.Volume // the pump stops
	Restart quantity.Volume // the pump may run again
	Pump    quantity.Flow   // most the pump delivers; 0 is no limit
}

// Usable returns the volume between full and the low-level cut-off.
func (t Tank) Usable() quantity.Volume { return t.Stop - t.CutOff }

// FloatDifferential returns the volume between stop and restart of make-up.
func (t Tank) FloatDifferential() quantity.Volume { return t.Stop - t.Start }

// VentedTank returns a vented tank of a total volume with the levels the trade
// uses: full at 95 %, make-up restarts after half an hour's make-up or 10 % of
// the tank, whichever is more; the pump cuts off at 8 % and restarts 10 % of
// the tank above that.
//
// Source: [TradeTable] (common practice, no source). The error wraps
// [ErrRange] or [ErrTank], the latter when the make-up is so large for the tank
// that half an hour of it does not fit.
func VentedTank(total quantity.Volume, makeUp quantity.Flow) (Tank, error) {
	differential := max(0.10*total, makeUp.Over(quantity.Minutes(30)))
	t := Tank{Total: total, Stop: 0.95 * total, CutOff: 0.08 * total, Restart: 0.18 * total}
	t.Start = t.Stop - differential
	if differential > t.Stop-t.Restart {
		return Tank{}, fmt.Errorf("vented tank: half an hour of make-up is %.4g m³ of a tank of %.4g m³: %w", differential, total, ErrTank)
	}
	if err := t.Check(); err != nil {
		return Tank{}, fmt.Errorf("vented tank: %w", err)
	}
	return t, nil
}

// Check returns an error unless the levels can work together:
//
//	0 ≤ cut-off < start ≤ stop ≤ total, cut-off < restart ≤ stop
//
// The error wraps [ErrRange] for a volume that is not a number or above
// 100,000 m³, [ErrTank] for a wrong order.
func (t Tank) Check() error {
	const most = 1e5 // m³
	err := firstError(
		within("tank volume in m³", float64(t.Total), 1e-9, most),
		within("float stop in m³", float64(t.Stop), 0, most),
		within("float start in m³", float64(t.Start), 0, most),
		within("low-level cut-off in m³", float64(t.CutOff), 0, most),
		within("pump restart in m³", float64(t.Restart), 0, most),
		within("pump flow in m³/s", float64(t.Pump), 0, maxGunFlow),
	)
	switch {
	case err != nil:
		return err
	case t.Stop > t.Total:
		return fmt.Errorf("make-up stops at %.4g m³, above the tank's %.4g m³: %w", t.Stop, t.Total, ErrTank)
	case t.Start > t.Stop:
		return fmt.Errorf("make-up restarts at %.4g m³, above its stop at %.4g m³: %w", t.Start, t.Stop, ErrTank)
	case t.CutOff >= t.Start:
		return fmt.Errorf("the pump cuts off at %.4g m³ before make-up starts at %.4g m³: %w", t.CutOff, t.Start, ErrTank)
	case t.Restart <= t.CutOff || t.Restart > t.Stop:
		return fmt.Errorf("the pump restarts at %.4g m³, wanted above its cut-off at %.4g m³ and not above full at %.4g m³: %w",
			t.Restart, t.CutOff, t.Stop, ErrTank)
	}
	return nil
}

// checkCycle wants each float to need at least a second of make-up between its
// two levels: a switch that chatters faster has no settled answer.
func (t Tank) checkCycle(mostMakeUp float64) error {
	differential := float64(t.Stop - t.Start)
	if differential > 0 && differential < mostMakeUp*1 { // m³ < m³/s · s
		return fmt.Errorf("make-up fills the float differential in under a second: %w", ErrTank)
	}
	if float64(t.Restart-t.CutOff) < mostMakeUp*1 {
		return fmt.Errorf("make-up lifts the level from cut-off to restart in under a second: %w", ErrTank)
	}
	return nil
}

// MakeUp returns the flow that reaches the tank while its float calls, on a day
// of the year (0 is 1 January). It follows feed temperature through the year
// and is asked once per day.
type MakeUp func(day int) quantity.Flow

// SteadyMakeUp returns a make-up that is the same all year.
func SteadyMakeUp(f quantity.Flow) MakeUp { return func(int) quantity.Flow { return f } }

// SeasonalMakeUp returns a make-up that swings once a year between its least, on
// the coldest day, and its most half a year later, as the feed's temperature
// does:
//
//	r(d) = mean - half · cos(2π (d - coldest)/365)
//
// A rule of thumb: common practice, no source. A plant's own flow at each day's
// temperature is better where it is known.
func SeasonalMakeUp(cold, warm quantity.Flow, coldestDay int) MakeUp {
	mean, half := float64(cold+warm)/2, float64(warm-cold)/2
	return func(day int) quantity.Flow {
		return quantity.Flow(mean - half*math.Cos(2*math.Pi*float64(day-coldestDay)/DaysInYear))
	}
}

// flows asks for each day's make-up once.
func (m MakeUp) flows() ([]float64, error) {
	if m == nil {
		return nil, fmt.Errorf("no make-up given: %w", ErrRange)
	}
	flows := make([]float64, DaysInYear)
	for d := range flows {
		flows[d] = float64(m(d))
		if err := within("make-up in m³/s", flows[d], 0, maxGunFlow); err != nil {
			return nil, fmt.Errorf("day %d: %w", d, err)
		}
	}
	return flows, nil
}
