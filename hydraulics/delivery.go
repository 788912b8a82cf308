package hydraulics

import (
	"fmt"

	"rinsewright/quantity"
)

// Delivery is a supply, a line shared by all guns, and a branch to each gun.
// Branches and guns are alike.
type Delivery struct {
	From   Supply          // pump with what its tank's level adds
	Shared Resistance      // nil where there is none
	Branch Resistance      // to one gun, hose included; nil where there is none
	Gun    Resistance      // a [Nozzle], an [Orifice] or a [FlowCoefficient]
	Rise   quantity.Length // of the guns above the supply
}

// DeliveryPoint is what a delivery does with some guns open.
type DeliveryPoint struct {
	GunFlow        quantity.Flow     // of one gun
	GunPressure    quantity.Pressure // at the gun's inlet
	TotalFlow      quantity.Flow
	SupplyPressure quantity.Pressure
	SharedLoss     quantity.Pressure
	BranchLoss     quantity.Pressure
	RiseLoss       quantity.Pressure
}

// With returns the operating point with so many guns open: the flow at which
// the supply's pressure is used up by rise, shared line, branch and gun. The
// error wraps [ErrRange] unless 1 ≤ guns ≤ 1000, [ErrNoFlow] when the supply
// is missing or does not reach the guns' height; else it is that of the parts.
func (d Delivery) With(guns int, fluid Fluid) (DeliveryPoint, error) {
	if err := within("open guns", float64(guns), 1, 1000, ""); err != nil {
		return DeliveryPoint{}, fmt.Errorf("delivery: %w", err)
	}
	rise, err := ElevationLoss(d.Rise, fluid)
	if err != nil {
		return DeliveryPoint{}, fmt.Errorf("delivery: %w", err)
	}
	total, err := FlowThrough(d.From, d.path(guns), rise, fluid)
	if err != nil {
		return DeliveryPoint{}, fmt.Errorf("delivery with %d guns open: %w", guns, err)
	}
	return d.tell(total, guns, rise, fluid)
}

func (d Delivery) path(guns int) Series {
	return Series{d.Shared, Equal{Count: guns, Each: Series{d.Branch, d.Gun}}}
}

func (d Delivery) tell(total quantity.Flow, guns int, rise quantity.Pressure, fluid Fluid) (DeliveryPoint, error) {
	each := total / quantity.Flow(guns)
	supply, err1 := d.From.Pressure(total)
	shared, err2 := Series{d.Shared}.Loss(total, fluid)
	branch, err3 := Series{d.Branch}.Loss(each, fluid)
	gun, err4 := Series{d.Gun}.Loss(each, fluid)
	if err := first(err1, err2, err3, err4); err != nil {
		return DeliveryPoint{}, fmt.Errorf("delivery: %w", err)
	}
	return DeliveryPoint{
		GunFlow: each, GunPressure: gun, TotalFlow: total, SupplyPressure: supply,
		SharedLoss: shared, BranchLoss: branch, RiseLoss: rise,
	}, nil
}
