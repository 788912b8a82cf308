package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// Network is junctions joined by links, fed from reservoirs. Meant for the
// pipework of one site: up to 500 junctions.
type Network struct {
	Reservoirs []Reservoir
	Junctions  []Junction
	Links      []Link
	Pumps      []PumpLink
}

// Reservoir holds its head whatever is drawn.
type Reservoir struct {
	Name string
	Head quantity.Length // total head: elevation plus pressure head
}

// Junction is where links meet.
type Junction struct {
	Name      string
	Elevation quantity.Length
	Demand    quantity.Flow   // drawn whatever the pressure; negative is fed in
	Outlet    FlowCoefficient // a gun that discharges here to the air; 0 for none
}

// Link joins two nodes through a resistance, such as a [Pipe].
type Link struct {
	Name     string
	From, To string
	Through  Resistance
	OneWay   bool // lets no water back; a [CheckValve] needs it
}

// PumpLink lifts water from one node to another; it lets none back.
type PumpLink struct {
	Name     string
	From, To string
	Curve    PumpCurve
}

// NetworkState is the solution, each slice in the order of the [Network]'s.
type NetworkState struct {
	LinkFlow   []quantity.Flow // positive from From to To
	PumpFlow   []quantity.Flow
	OutletFlow []quantity.Flow   // of each junction's outlet
	Head       []quantity.Length // total head of each junction
	Pressure   []quantity.Pressure
	Steps      int
}

const mostJunctions = 500

// Solve returns flows and heads of the steady state: at every junction flows
// balance, along every link head is lost as its resistance says. Newton's method
// on flows and heads together, one symmetric system of the heads a step:
//
//	Σ_j (H_i − H_j)/h'(q) = Σ (h(q)/h'(q) − q) − demand
//
// Source: [TodiniPilati1988]. Flows settle to 1e-9 of their sum or
// 1e-8 L/s each. The error wraps
// [ErrRange] for an unknown or doubled name or a value out of range,
// [ErrNotConnected] for a junction without a way to a reservoir,
// [ErrNoFlow] where a demand would need a pressure below a vacuum,
// [ErrNoConvergence] when 200 steps do not settle it; else it is the part's.
func (n Network) Solve(fluid Fluid) (NetworkState, error) {
	if err := fluid.check(); err != nil {
		return NetworkState{}, fmt.Errorf("network: %w", err)
	}
	s, err := n.solver(fluid)
	if err != nil {
		return NetworkState{}, fmt.Errorf("network: %w", err)
	}
	steps, err := s.settle()
	if err != nil {
		return NetworkState{}, fmt.Errorf("network: %w", err)
	}
	state := n.state(s, steps, fluid)
	for i, p := range state.Pressure {
		if !(p >= -SeaLevel) {
			return NetworkState{}, fmt.Errorf("network: %s: %.0f Pa is below a vacuum: %w; draw less there", n.Junctions[i].Name, float64(p), ErrNoFlow)
		}
	}
	return state, nil
}

func (n Network) state(s *solver, steps int, fluid Fluid) NetworkState {
	out := NetworkState{
		LinkFlow: make([]quantity.Flow, len(n.Links)), PumpFlow: make([]quantity.Flow, len(n.Pumps)),
		OutletFlow: make([]quantity.Flow, len(n.Junctions)), Head: make([]quantity.Length, len(n.Junctions)),
		Pressure: make([]quantity.Pressure, len(n.Junctions)), Steps: steps,
	}
	for i := range n.Links {
		out.LinkFlow[i] = quantity.Flow(s.edges[i].q)
		if n.Links[i].OneWay {
			out.LinkFlow[i] = max(0, out.LinkFlow[i])
		}
	}
	for i := range n.Pumps {
		out.PumpFlow[i] = quantity.Flow(math.Max(0, s.edges[len(n.Links)+i].q))
	}
	next := len(n.Links) + len(n.Pumps)
	for i, j := range n.Junctions {
		out.Head[i] = quantity.Length(s.heads[i])
		out.Pressure[i] = quantity.Pressure((s.heads[i] - float64(j.Elevation)) * gravity * float64(fluid.Density))
		if j.Outlet != 0 {
			out.OutletFlow[i] = quantity.Flow(math.Max(0, s.edges[next].q))
			next++
		}
	}
	return out
}
