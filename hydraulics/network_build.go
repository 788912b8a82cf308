package hydraulics

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// solver turns names into numbers and refuses what cannot be solved.
func (n Network) solver(fluid Fluid) (*solver, error) {
	index, err := n.index()
	if err != nil {
		return nil, err
	}
	s := &solver{junctions: len(n.Junctions)}
	for _, j := range n.Junctions {
		err := first(within("elevation", j.Elevation, -1e4, 1e4, "m"), within("demand", j.Demand, -maxFlow, maxFlow, "m³/s"))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", j.Name, err)
		}
		s.heads, s.demand = append(s.heads, 0), append(s.demand, float64(j.Demand))
	}
	for _, r := range n.Reservoirs {
		if err := within("head", r.Head, -1e4, 1e5, "m"); err != nil {
			return nil, fmt.Errorf("%s: %w", r.Name, err)
		}
		s.heads = append(s.heads, float64(r.Head))
	}
	perMetre := float64(fluid.Density) * gravity // Pa/m
	if err := n.addLinks(s, index, fluid, perMetre); err != nil {
		return nil, err
	}
	if err := n.addPumps(s, index, perMetre); err != nil {
		return nil, err
	}
	if err := n.addOutlets(s, fluid, perMetre); err != nil {
		return nil, err
	}
	return s, n.connected(s)
}

func (n Network) index() (map[string]int, error) {
	if err := within("number of junctions", float64(len(n.Junctions)), 1, mostJunctions, ""); err != nil {
		return nil, err
	}
	index := map[string]int{}
	put := func(name string) error {
		if _, twice := index[name]; twice {
			return fmt.Errorf("node %q twice: %w", name, ErrRange)
		}
		index[name] = len(index)
		return nil
	}
	for _, j := range n.Junctions {
		if err := put(j.Name); err != nil {
			return nil, err
		}
	}
	for _, r := range n.Reservoirs {
		if err := put(r.Name); err != nil {
			return nil, err
		}
	}
	return index, nil
}

func ends(index map[string]int, name, from, to string) (a, b int, err error) {
	a, okA := index[from]
	b, okB := index[to]
	if !okA || !okB || a == b {
		return 0, 0, fmt.Errorf("%s from %q to %q: wanted two different nodes of the network: %w", name, from, to, ErrRange)
	}
	return a, b, nil
}

func (n Network) addLinks(s *solver, index map[string]int, fluid Fluid, perMetre float64) error {
	for _, l := range n.Links {
		a, b, err := ends(index, l.Name, l.From, l.To)
		if err != nil {
			return err
		}
		loss := func(q float64) (float64, error) {
			p, err := Series{l.Through}.Loss(quantity.Flow(q), fluid)
			return float64(p) / perMetre, err
		}
		s.edges = append(s.edges, edge{name: l.Name, from: a, to: b, one: l.OneWay, loss: loss, q: startFlow})
	}
	return nil
}

// addPumps makes each pump a link whose loss is negative. Past its run-out the
// curve goes on below zero, so that the solver may look there.
func (n Network) addPumps(s *solver, index map[string]int, perMetre float64) error {
	for _, p := range n.Pumps {
		a, b, err := ends(index, p.Name, p.From, p.To)
		if err != nil {
			return err
		}
		gain := func(q float64) (float64, error) {
			gain, err := p.Curve.Pressure(quantity.Flow(q))
			return -float64(gain) / perMetre, err
		}
		s.edges = append(s.edges, edge{name: p.Name, from: a, to: b, one: true, loss: gain, q: startFlow})
	}
	return nil
}

// addOutlets makes each outlet a link to a fixed head at the junction's height.
func (n Network) addOutlets(s *solver, fluid Fluid, perMetre float64) error {
	for i, j := range n.Junctions {
		if j.Outlet == 0 {
			continue
		}
		if err := j.Outlet.check(); err != nil {
			return fmt.Errorf("%s: %w", j.Name, err)
		}
		loss := func(q float64) (float64, error) {
			p, err := j.Outlet.Loss(quantity.Flow(q), fluid)
			return float64(p) / perMetre, err
		}
		s.edges = append(s.edges, edge{name: j.Name, from: i, to: len(s.heads), one: true, loss: loss, q: startFlow})
		s.heads = append(s.heads, float64(j.Elevation))
	}
	return nil
}

// connected walks from the reservoirs over all links.
func (n Network) connected(s *solver) error {
	reached := make([]bool, len(s.heads))
	for i := range n.Reservoirs {
		reached[s.junctions+i] = true
	}
	for range s.heads {
		for _, e := range s.edges {
			either := reached[e.from] || reached[e.to]
			reached[e.from], reached[e.to] = either, either
		}
	}
	for i, j := range n.Junctions {
		if !reached[i] {
			return fmt.Errorf("%s: %w", j.Name, ErrNotConnected)
		}
		s.heads[i] = n.startHead()
	}
	return nil
}

// startHead is the highest reservoir's head; the first step replaces it.
func (n Network) startHead() float64 {
	head := 0.0
	for _, r := range n.Reservoirs {
		head = math.Max(head, float64(r.Head))
	}
	return head
}
