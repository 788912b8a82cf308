package rinse

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Share is a part of a whole with the range that the readings' doubt leaves.
type Share struct{ Mean, Low, High quantity.Ratio }

// Parts says where the solids of a dried drop came from. Means add up to 1.
type Parts struct {
	Tank  Share // the water as it left the tank
	Line  Share // picked up between tank and gun
	Film  Share // wash film that the rinse did not displace
	Water Share // tank and line together: what cleaner water could mend
}

// Parts splits the strength of what drips off a panel into what the tank, the
// line and the wash film gave it:
//
//	tank = min(C_tank, C_drip) / C_drip, line = (C_gun - C_tank) / C_drip,
//	film = (C_drip - C_gun) / C_drip, none below 0
//
// By conservation of mass. Doubt is of each reading, as a share of it, and one
// milligram per litre for the pen's last digit; Low and High are the ends that
// readings off by their doubt can reach. The error wraps [ErrRange] as for
// [Chain.Weakest], or when what drips is below 2 mg/L: a pen can't split that.
func (c Chain) Parts(doubt quantity.Ratio) (Parts, error) {
	err := firstError(
		within("tank strength in kg/m³", float64(c.Tank), 0, 100),
		within("gun strength in kg/m³", float64(c.Gun), 0, 100),
		within("drip strength in kg/m³", float64(c.Drip), 2e-3, 100),
		within("doubt", float64(doubt), 0, 1),
	)
	if err != nil {
		return Parts{}, fmt.Errorf("parts of a drop: %w", err)
	}
	var p Parts
	p.Tank.Mean, p.Line.Mean, p.Film.Mean = c.split()
	p.Water.Mean = p.Tank.Mean + p.Line.Mean
	all := []*Share{&p.Tank, &p.Line, &p.Film, &p.Water}
	for _, s := range all {
		s.Low, s.High = s.Mean, s.Mean
	}
	off := func(x quantity.MassConc, way int) quantity.MassConc {
		return max(x+quantity.MassConc(way)*(x*quantity.MassConc(doubt)+1e-3), 0)
	}
	for i := range 8 { // every corner of the readings' doubt
		way := func(bit int) int { return 2*(i>>bit&1) - 1 }
		corner := Chain{off(c.Tank, way(0)), off(c.Gun, way(1)), max(off(c.Drip, way(2)), 1e-6)}
		tank, line, film := corner.split()
		for j, x := range []quantity.Ratio{tank, line, film, tank + line} {
			all[j].Low, all[j].High = min(all[j].Low, x), max(all[j].High, x)
		}
	}
	return p, nil
}

// split returns the three shares, which add up to 1.
func (c Chain) split() (tank, line, film quantity.Ratio) {
	drip := float64(c.Drip)
	gun := math.Min(float64(c.Gun), drip) // water does not lose solids: a lower drip is doubt
	fromTank := math.Min(float64(c.Tank), gun)
	tank = quantity.Ratio(fromTank / drip)
	line = quantity.Ratio((gun - fromTank) / drip)
	return tank, line, 1 - tank - line
}

// FilmFromDrips returns the film that really stands on a panel while it is
// rinsed, from what drips off it at the end: [Displacement.After] solved for h0,
//
//	h0 = V / ln((C_wash - C_rinse) / (C_drip - C_rinse))
//
// so that seconds per side follow from the site's own panel, not from a rule of
// thumb. Source: [TradeTable]. The error wraps [ErrRange] unless
// rinse < drip < wash and 0 < V ≤ 1 m, or when no more than a fiftieth of the
// wash film is left or displaced: then the drips can't tell.
func FilmFromDrips(laid quantity.Length, wash, rinse, drip quantity.MassConc) (quantity.Length, error) {
	err := firstError(
		within("rinse per area in m", float64(laid), 1e-9, 1),
		within("film strength in kg/m³", float64(wash), 1e-3, 100),
		within("rinse strength in kg/m³", float64(rinse), 0, float64(wash)*(1-1e-12)),
	)
	if err == nil {
		kept := float64(drip-rinse) / float64(wash-rinse)
		if err = within("share of the wash film left", kept, 0.02, 0.98); err == nil {
			return quantity.Length(float64(laid) / -math.Log(kept)), nil
		}
	}
	return 0, fmt.Errorf("film from drips: %w", err)
}

// PanelTest is what a person saw on a clean, cool, upright test panel and on the
// vehicle, each left to dry in the shade.
type PanelTest struct {
	BottledSpots bool // panel wetted with bottled pure water
	GunSpots     bool // panel wetted from the gun, with no wash before it
	LongSpots    bool // vehicle side rinsed three times as long as usual
}

// NoTest is said when the panel itself spots.
const NoTest Link = "the panel or the air: pure water spots too, so clean the panel and test again in the shade"

// Says names what the spots come from, by elimination: pure water that spots
// blames the panel, gun water that spots blames the water, a side that a long
// rinse clears blames the rinse, and what is left is not the water.
//
// A rule of thumb: common practice, no source.
func (p PanelTest) Says() Link {
	switch {
	case p.BottledSpots:
		return NoTest
	case p.GunSpots:
		return FromWater
	case !p.LongSpots:
		return FromPanel
	}
	return FromDrops
}
