package hydraulics

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/quantity"
)

// readNetwork builds a network from a reference input of the pipe-network
// engine, with that friction law for its D-W pipes.
func readNetwork(t testing.TB, name string, law FrictionLaw) (Network, Fluid) {
	t.Helper()
	sections := map[string][][]string{}
	section := ""
	for _, line := range refLines(t, name) {
		if strings.HasPrefix(line, "[") {
			section = line
		} else if fields := strings.Fields(line); len(fields) > 0 {
			sections[section] = append(sections[section], fields)
		}
	}
	options := map[string]string{}
	for _, f := range sections["[OPTIONS]"] {
		options[f[0]] = f[1]
	}
	fluid := Fluid{Density: referenceDensity, Viscosity: quantity.Viscosity(referenceDensity * math.Min(num64(t, options["Viscosity"]), 1e-5))}
	var n Network
	for _, f := range sections["[RESERVOIRS]"] {
		n.Reservoirs = append(n.Reservoirs, Reservoir{Name: f[0], Head: quantity.Length(num64(t, f[1]))})
	}
	for _, f := range sections["[JUNCTIONS]"] {
		n.Junctions = append(n.Junctions, Junction{Name: f[0], Elevation: quantity.Length(num64(t, f[1])), Demand: litresPerSecond(num64(t, f[2]))})
	}
	for _, f := range sections["[EMITTERS]"] { // L/s at 1 m
		perMetre := quantity.Pressure(referenceDensity * gravity)
		k, err := CoefficientOf(litresPerSecond(num64(t, f[1])), perMetre, fluid)
		if err != nil {
			t.Fatal(err)
		}
		for i := range n.Junctions {
			if n.Junctions[i].Name == f[0] {
				n.Junctions[i].Outlet = k
			}
		}
	}
	for _, f := range sections["[PIPES]"] {
		rough := num64(t, f[5])
		p := Pipe{
			Length: quantity.Length(num64(t, f[3])), Bore: quantity.Millimetres(num64(t, f[4])), Roughness: quantity.Millimetres(rough),
			C: rough, MinorK: num64(t, f[6]), Law: law,
		}
		if options["Headloss"] == "H-W" {
			p.Law = HazenWilliams
		}
		n.Links = append(n.Links, Link{Name: f[0], From: f[1], To: f[2], Through: p})
	}
	for _, f := range sections["[PUMPS]"] {
		n.Pumps = append(n.Pumps, PumpLink{Name: f[0], From: f[1], To: f[2], Curve: readCurve(t, sections["[CURVES]"], fluid)})
	}
	return n, fluid
}

func readCurve(t testing.TB, lines [][]string, fluid Fluid) PumpCurve {
	t.Helper()
	var points []PumpPoint
	for _, f := range lines {
		p, err := ElevationLoss(quantity.Length(num64(t, f[2])), fluid)
		if err != nil {
			t.Fatal(err)
		}
		points = append(points, PumpPoint{Flow: litresPerSecond(num64(t, f[1])), Pressure: p})
	}
	c, err := PowerPump(points[0].Pressure, points[1], points[2])
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// results flattens a state to the reference's object and quantity names.
func results(n Network, s NetworkState) map[string]float64 {
	out := map[string]float64{}
	for i, l := range n.Links {
		out[l.Name+" flow_L_s"] = float64(s.LinkFlow[i]) * 1e3
		out[l.Name+" headloss_m"] = math.Abs(headOf(n, s, l.From) - headOf(n, s, l.To))
		out[l.Name+" velocity_m_s"] = l.Through.(Pipe).velocity(float64(s.LinkFlow[i]))
	}
	for i, p := range n.Pumps {
		out[p.Name+" flow_L_s"] = float64(s.PumpFlow[i]) * 1e3
		out[p.Name+" head_m(negative=gain)"] = headOf(n, s, p.From) - headOf(n, s, p.To)
	}
	for i, j := range n.Junctions {
		out[j.Name+" total_head_m"] = float64(s.Head[i])
		out[j.Name+" pressure_m"] = float64(s.Pressure[i]) / (referenceDensity * gravity)
	}
	return out
}

func headOf(n Network, s NetworkState, name string) float64 {
	for i, j := range n.Junctions {
		if j.Name == name {
			return float64(s.Head[i])
		}
	}
	for _, r := range n.Reservoirs {
		if r.Name == name {
			return float64(r.Head)
		}
	}
	return math.NaN()
}

func TestNetworksFlowAsThePipeNetworkEngineSays(t *testing.T) {
	for _, law := range []struct {
		law         FrictionLaw
		flows, head float64
	}{{SwameeJain, 0.003, 0.005}, {Colebrook, 0.015, 0.02}} {
		for _, name := range []string{"hydraulics_net_N1", "hydraulics_net_N3", "hydraulics_net_N5"} {
			n, fluid := readNetwork(t, name+".inp.txt", law.law)
			s, err := n.Solve(fluid)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			got := results(n, s)
			for _, row := range refRows(t, name+".csv") {
				key, tol := row["object"]+" "+row["quantity"], law.head
				if strings.Contains(key, "flow") || strings.Contains(key, "velocity") {
					tol = law.flows
				}
				if row["object"] == "PU" && row["quantity"] == "velocity_m_s" {
					continue // a pump has none
				}
				x, ok := got[key]
				if !ok {
					t.Fatalf("%s: no %s", name, key)
				}
				near(t, name+" "+law.law.String()+" "+key, x, num64(t, row["value"]), tol)
			}
		}
	}
}

// anyNetwork is a random tree of junctions fed from one reservoir, with chords.
func anyNetwork(t *rapid.T) Network {
	count := rapid.IntRange(1, 12).Draw(t, "junctions")
	n := Network{Reservoirs: []Reservoir{{Name: "R", Head: quantity.Length(rapid.Float64Range(5, 60).Draw(t, "head"))}}}
	names := []string{"R"}
	pipe := func() Pipe {
		p := Pipe{
			Length:    quantity.Length(rapid.Float64Range(0.5, 40).Draw(t, "length")),
			Bore:      quantity.Millimetres(rapid.Float64Range(4, 30).Draw(t, "bore mm")),
			Roughness: plasticRoughness, MinorK: rapid.Float64Range(0, 5).Draw(t, "K"), C: 150,
		}
		p.Law = rapid.SampledFrom([]FrictionLaw{Colebrook, SwameeJain, HazenWilliams}).Draw(t, "law")
		return p
	}
	for i := range count {
		name := string(rune('a' + i))
		from := rapid.SampledFrom(names).Draw(t, "from")
		n.Links = append(n.Links, Link{Name: "to " + name, From: from, To: name, Through: pipe()})
		j := Junction{Name: name, Elevation: quantity.Length(rapid.Float64Range(0, 4).Draw(t, "height"))}
		if rapid.Bool().Draw(t, "gun") {
			j.Outlet = Kv(rapid.Float64Range(0.01, 0.5).Draw(t, "Kv"))
		}
		j.Demand = litresPerSecond(rapid.Float64Range(0, 0.05).Draw(t, "demand"))
		n.Junctions = append(n.Junctions, j)
		names = append(names, name)
	}
	for range rapid.IntRange(0, 4).Draw(t, "chords") {
		a, b := rapid.SampledFrom(names).Draw(t, "a"), rapid.SampledFrom(names).Draw(t, "b")
		if a != b {
			n.Links = append(n.Links, Link{Name: a + b, From: a, To: b, Through: pipe()})
		}
	}
	return n
}

func TestWaterAndHeadCloseInAnyNetwork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := anyNetwork(t)
		s, err := n.Solve(water20)
		if errors.Is(err, ErrNoFlow) {
			return // drawn dry
		}
		if err != nil {
			t.Fatalf("%+v: %v", n, err)
		}
		if s.Steps > 60 {
			t.Fatalf("%d steps", s.Steps)
		}
		into := map[string]float64{}
		total := 1e-6
		for i, l := range n.Links {
			q := float64(s.LinkFlow[i])
			into[l.From] -= q
			into[l.To] += q
			total += math.Abs(q)
			loss := l.Through.(Pipe).head(q, water20.kinematic())
			if drop := headOf(n, s, l.From) - headOf(n, s, l.To); !(math.Abs(drop-loss) <= 1e-6*(1+math.Abs(loss))+1.01*trickleSlope*math.Abs(q)) {
				t.Fatalf("%s loses %g, heads differ by %g", l.Name, loss, drop)
			}
		}
		for i, j := range n.Junctions {
			left := into[j.Name] - float64(j.Demand) - float64(s.OutletFlow[i])
			if !(math.Abs(left) <= 1e-7*total+1e-8) { // a shut outlet's trickle
				t.Fatalf("%s: %g m³/s too many", j.Name, left)
			}
		}
	})
}

func TestTwoEqualPipesShareTheFlow(t *testing.T) {
	p := Pipe{Length: 10, Bore: quantity.Millimetres(15.8), Roughness: plasticRoughness}
	n := Network{
		Reservoirs: []Reservoir{{"R", 20}}, Junctions: []Junction{{Name: "J", Demand: 4e-4}},
		Links: []Link{{"one", "R", "J", p, false}, {"two", "J", "R", p, false}},
	}
	s, err := n.Solve(water20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "one", float64(s.LinkFlow[0]), 2e-4, 1e-9) // published: symmetry
	near(t, "two", float64(s.LinkFlow[1]), -2e-4, 1e-9)
}

func TestAPumpThatCannotLiftGivesNothing(t *testing.T) {
	curve, _ := DutyPump(1e5, PumpPoint{5e-4, 5e4}) // 10 m at most
	n := Network{
		Reservoirs: []Reservoir{{"low", 0}, {"high", 30}}, Junctions: []Junction{{Name: "J"}},
		Links: []Link{{"up", "J", "high", Pipe{Length: 10, Bore: 0.02}, false}},
		Pumps: []PumpLink{{"pump", "low", "J", curve}},
	}
	s, err := n.Solve(water20)
	if err != nil || s.PumpFlow[0] != 0 || !(math.Abs(float64(s.LinkFlow[0])) < 1e-6) {
		t.Errorf("pump %v, line %v, %v; want nothing to flow", s.PumpFlow, s.LinkFlow, err)
	}
}

func TestNetworkAgreesWithDelivery(t *testing.T) {
	d := demoDelivery(t)
	d.Rise = 0
	want, err := d.With(2, water20)
	if err != nil {
		t.Fatal(err)
	}
	n := Network{
		Reservoirs: []Reservoir{{"tank", 0}},
		Junctions:  []Junction{{Name: "out"}, {Name: "fork"}, {Name: "g1", Outlet: d.Gun.(FlowCoefficient)}, {Name: "g2", Outlet: d.Gun.(FlowCoefficient)}},
		Links:      []Link{{"shared", "out", "fork", d.Shared, false}, {"b1", "fork", "g1", d.Branch, false}, {"b2", "fork", "g2", d.Branch, false}},
		Pumps:      []PumpLink{{"pump", "tank", "out", d.From.(PumpCurve)}},
	}
	got, err := n.Solve(water20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "total", float64(got.PumpFlow[0]), float64(want.TotalFlow), 1e-6) // two solvers, one answer
	near(t, "gun", float64(got.OutletFlow[2]), float64(want.GunFlow), 1e-6)
	near(t, "gun pressure", float64(got.Pressure[3]), float64(want.GunPressure), 1e-6)
}

// A fine chord beside a wide line with next to no flow: slopes a million apart.
func TestATrickleSettles(t *testing.T) {
	n := Network{
		Reservoirs: []Reservoir{{"R", 5}}, Junctions: []Junction{{Name: "a", Demand: 7.6e-9}},
		Links: []Link{
			{"wide", "R", "a", Pipe{Length: 1, Bore: 0.03, MinorK: 1, Law: HazenWilliams, C: 150}, false},
			{"fine", "R", "a", Pipe{Length: 1, Bore: 0.004, MinorK: 1}, false},
		},
	}
	s, err := n.Solve(water20)
	if err != nil || !(math.Abs(float64(s.LinkFlow[0]+s.LinkFlow[1])-7.6e-9) <= 1e-12) {
		t.Errorf("flows %v, %v", s.LinkFlow, err)
	}
}

// Three guns behind one line that nearly runs them dry: whole Newton steps
// swing for ever between guns open and shut.
func TestGunsNearlyRunDrySettle(t *testing.T) {
	pipe := func(length quantity.Length, mm, k float64) Pipe {
		return Pipe{Length: length, Bore: quantity.Millimetres(mm), Roughness: plasticRoughness, MinorK: k}
	}
	n := Network{
		Reservoirs: []Reservoir{{"R", 9.5}},
		Junctions: []Junction{
			{Name: "a", Elevation: 1, Demand: 1.953125e-05},
			{Name: "b", Elevation: 0.5, Demand: 7.8125e-06, Outlet: 4.3920523057894155e-07},
			{Name: "c", Elevation: 0.375, Demand: 3.90625e-06, Outlet: 4.3920523057894155e-07},
			{Name: "d", Elevation: 0.125, Demand: 1.5625e-05, Outlet: 1.0980130764473539e-07},
			{Name: "f", Elevation: 1, Demand: 2.294921875e-05},
			{Name: "i", Elevation: 1, Demand: 3.90625e-06},
		},
		Links: []Link{
			{"to a", "R", "a", pipe(1.5, 4.96875, 1.9375), false},
			{"to b", "a", "b", pipe(1, 8, 1), false},
			{"to c", "a", "c", pipe(1, 8, 1), false},
			{"to d", "a", "d", pipe(1, 8, 1), false},
			{"to f", "a", "f", pipe(1, 4, 1), false},
			{"to i", "a", "i", pipe(1, 4, 1), false},
		},
	}
	if _, err := n.Solve(water20); err != nil {
		t.Error(err)
	}
}

func TestACheckValveInANetworkLetsNothingBack(t *testing.T) {
	valve := CheckValve{Cracking: quantity.PSI(1), Open: Kv(1)}
	n := Network{
		Reservoirs: []Reservoir{{"low", 5}, {"high", 8}}, Junctions: []Junction{{Name: "J"}},
		Links: []Link{
			{"line", "high", "J", Pipe{Length: 10, Bore: 0.02}, false},
			{"check", "low", "J", valve, true},
		},
	}
	s, err := n.Solve(water20)
	if err != nil || s.LinkFlow[1] != 0 || !(math.Abs(float64(s.LinkFlow[0])) < 1e-9) {
		t.Errorf("flows %v, %v; want none", s.LinkFlow, err)
	}
	n.Links[0].From, n.Links[0].To, n.Links[1].From, n.Links[1].To = "J", "low", "high", "J"
	s, err = n.Solve(water20)
	if err != nil {
		t.Fatal(err)
	}
	want, err := FlowThrough(Level{3, water20}, Series{n.Links[0].Through, valve}, 0, water20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "forward", float64(s.LinkFlow[1]), float64(want), 1e-5) // two solvers, one answer
}

func TestNobodyDrawsBelowAVacuum(t *testing.T) {
	n := Network{
		Reservoirs: []Reservoir{{"R", 5}}, Junctions: []Junction{{Name: "J", Demand: litresPerSecond(1)}},
		Links: []Link{{"thin", "R", "J", Pipe{Length: 20, Bore: 0.006}, false}},
	}
	if _, err := n.Solve(water20); !errors.Is(err, ErrNoFlow) {
		t.Errorf("got %v, want %v", err, ErrNoFlow)
	}
}

func TestNetworkNamesWhatIsWrong(t *testing.T) {
	pipe := Pipe{Length: 1, Bore: 0.01}
	for _, row := range []struct {
		name string
		n    Network
		want error
	}{
		{"empty", Network{}, ErrRange},
		{"island", Network{Reservoirs: []Reservoir{{"R", 1}}, Junctions: []Junction{{Name: "a"}}}, ErrNotConnected},
		{"only a gun", Network{Junctions: []Junction{{Name: "a", Outlet: Kv(1)}}}, ErrNotConnected},
		{"twice", Network{Reservoirs: []Reservoir{{"a", 1}}, Junctions: []Junction{{Name: "a"}}}, ErrRange},
		{"to nowhere", Network{Junctions: []Junction{{Name: "a"}}, Links: []Link{{"l", "a", "b", pipe, false}}}, ErrRange},
		{"to itself", Network{Junctions: []Junction{{Name: "a"}}, Links: []Link{{"l", "a", "a", pipe, false}}}, ErrRange},
		{"no bore", Network{Reservoirs: []Reservoir{{"R", 1}}, Junctions: []Junction{{Name: "a"}}, Links: []Link{{"l", "R", "a", Pipe{}, false}}}, ErrRange},
		{"no curve", Network{Reservoirs: []Reservoir{{"R", 1}}, Junctions: []Junction{{Name: "a"}}, Pumps: []PumpLink{{"p", "R", "a", PumpCurve{}}}}, ErrCurve},
		{"head", Network{Reservoirs: []Reservoir{{"R", quantity.Length(math.NaN())}}, Junctions: []Junction{{Name: "a"}}}, ErrRange},
	} {
		if _, err := row.n.Solve(water20); !errors.Is(err, row.want) {
			t.Errorf("%s: got %v, want %v", row.name, err, row.want)
		}
	}
}
