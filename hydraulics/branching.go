package hydraulics

import (
	"fmt"

	"rinsewright/quantity"
)

// Branching is a line from one pump that branches to several guns, each at its
// own distance and height. Which guns are open is asked of it.
type Branching struct {
	Pump  PumpCurve
	Level quantity.Length // of the tank's surface above the pump
	Runs  []Run
}

// Run is a stretch of line with a gun at its end, or none where it only
// branches.
type Run struct {
	Name   string
	From   string // name of the run that it branches from; empty is the pump
	Line   Resistance
	Gun    FlowCoefficient // 0 for none
	Height quantity.Length // of its end above the pump
}

// RunFlow is what one run does.
type RunFlow struct {
	Name     string
	Flow     quantity.Flow     // through the run
	GunFlow  quantity.Flow     // of its own gun, 0 when shut
	Pressure quantity.Pressure // at its end
}

// With returns what every run does with the guns of the named runs open, by
// [Network.Solve]. The error wraps [ErrRange] for a name that is not there or
// not a gun's; else it is the network's.
func (b Branching) With(open []string, fluid Fluid) ([]RunFlow, error) {
	const pump, tank = " pump", " tank" // no run's name begins with a space
	n := Network{
		Reservoirs: []Reservoir{{Name: tank, Head: b.Level}},
		Junctions:  []Junction{{Name: pump}},
		Pumps:      []PumpLink{{Name: pump, From: tank, To: pump, Curve: b.Pump}},
	}
	wanted := map[string]bool{}
	for _, name := range open {
		wanted[name] = true
	}
	for _, r := range b.Runs {
		j := Junction{Name: r.Name, Elevation: r.Height}
		if wanted[r.Name] && r.Gun > 0 {
			j.Outlet = r.Gun
			delete(wanted, r.Name)
		}
		from := r.From
		if from == "" {
			from = pump
		}
		n.Junctions = append(n.Junctions, j)
		n.Links = append(n.Links, Link{Name: r.Name, From: from, To: r.Name, Through: r.Line})
	}
	for name := range wanted {
		return nil, fmt.Errorf("branching line: no gun at %q: %w", name, ErrRange)
	}
	state, err := n.Solve(fluid)
	if err != nil {
		return nil, fmt.Errorf("branching line: %w", err)
	}
	all := make([]RunFlow, len(b.Runs))
	for i, r := range b.Runs {
		all[i] = RunFlow{Name: r.Name, Flow: state.LinkFlow[i], GunFlow: state.OutletFlow[i+1], Pressure: state.Pressure[i+1]}
	}
	return all, nil
}
