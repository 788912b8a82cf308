package hydraulics

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/quantity"
)

// lineRow reads a row of the pipe table.
func lineRow(t *testing.T, row map[string]string, friction string) LineRow {
	t.Helper()
	roughOrC := num64(t, row["roughness_mm_or_C"])
	return LineRow{
		HeadLossForm: row["headloss_form"], Friction: friction,
		Length: quantity.Length(num64(t, row["length_m"])), InsideDiameter: quantity.Millimetres(num64(t, row["inside_diameter_mm"])),
		Roughness: quantity.Millimetres(roughOrC), C: roughOrC, MinorK: num64(t, row["minor_K"]),
		Flow:               litresPerSecond(num64(t, row["flow_L_s"])),
		KinematicViscosity: quantity.Diffusivity(num64(t, row["kinematic_viscosity_m2_s"])),
	}
}

func TestLinesLoseWhatThePipeNetworkEngineSays(t *testing.T) {
	for _, row := range refRows(t, "hydraulics_pipes.csv") {
		for _, friction := range []string{"explicit", "colebrook", ""} {
			got, err := lineRow(t, row, friction).Solve()
			if err != nil {
				t.Fatalf("%s: %v", row["id"], err)
			}
			near(t, row["id"]+" velocity "+friction, float64(got.Velocity), num64(t, row["expect_velocity_m_s"]), 1e-5)
			near(t, row["id"]+" head loss "+friction, float64(got.HeadLoss), num64(t, row["expect_headloss_m"]), lineTolerance(row, friction))
		}
	}
}

// lineTolerance is 0.15 % with the engine's own friction formula, whose g is
// 0.08 % off ours; 2 % with Colebrook, 2.5 % for the transitional row.
func lineTolerance(row map[string]string, friction string) float64 {
	switch {
	case row["headloss_form"] == "H-W":
		return 0.001
	case row["note"] == "laminar" || friction == "explicit" && row["id"] != "P07":
		return 0.0015
	case row["id"] == "P07":
		return 0.025
	}
	return 0.02
}

func TestTheEngineDiffersOnlyByItsGravity(t *testing.T) {
	const engineGravity = 32.2 * 0.3048 // m/s²; reference code: general pipe-network engine 2.2, as CHECKS trap 7 says
	for _, row := range refRows(t, "hydraulics_pipes.csv") {
		if row["headloss_form"] == "H-W" {
			continue
		}
		got, err := lineRow(t, row, "explicit").Solve()
		if err != nil {
			t.Fatal(err)
		}
		near(t, row["id"], float64(got.HeadLoss)*gravity/engineGravity, num64(t, row["expect_headloss_m"]), 5e-5)
	}
}

func TestQuarterInchTubeLosesNearlyFiveMetresAtAGunsFlow(t *testing.T) {
	got, err := LineRow{
		Length: 3, InsideDiameter: quantity.Millimetres(4.32), Roughness: quantity.Millimetres(0.0015),
		Flow: litresPerSecond(0.03), KinematicViscosity: 1.004e-6, Friction: "explicit",
	}.Solve()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "head", float64(got.HeadLoss), 4.84, 0.002) // reference code: general pipe-network engine 2.2, case P08 (CHECKS E8), rounded there
}

func TestTubingLossesOfTheTradeTable(t *testing.T) {
	// common practice, no source: psi per 100 ft at 0.35, 0.7, 1, 2, 4 gpm with C 150
	flows := []float64{0.35, 0.7, 1, 2, 4}
	rows := []struct {
		name string
		bore quantity.Length
		want []float64 // 0 where the table has none
	}{
		{"1/4 in tube", quantity.Inches(0.170), []float64{34, 122, 236, 850, 0}},
		{"3/8 in tube", quantity.Inches(0.250), []float64{5, 19, 36, 130, 470}},
		{"1/2 in tube", quantity.Inches(0.375), []float64{0.7, 2.6, 5, 18, 65}},
		{"3/4 in pipe", quantity.Inches(0.824), []float64{0, 0, 0.1, 0.4, 1.4}},
	}
	for _, row := range rows {
		for i, want := range row.want {
			p := Pipe{Length: quantity.Feet(100), Bore: row.bore, Law: HazenWilliams, C: 150}
			got, err := p.Loss(quantity.GallonsPerMinute(flows[i]), water20)
			if err != nil {
				t.Fatal(err)
			}
			if tol := math.Max(0.05*want, 0.06); want != 0 && !(math.Abs(got.PSI()-want) <= tol) {
				t.Errorf("%s at %g gpm: got %.3g psi, want %g within %.2g", row.name, flows[i], got.PSI(), want, tol)
			}
		}
	}
}

func anyPipe(t *rapid.T) Pipe {
	bore := math.Pow(10, rapid.Float64Range(-3, -1).Draw(t, "log bore"))
	return Pipe{
		Length: quantity.Length(rapid.Float64Range(0.1, 200).Draw(t, "length")), Bore: quantity.Length(bore),
		Roughness: quantity.Length(bore * rapid.Float64Range(0, 0.02).Draw(t, "roughness")),
		MinorK:    rapid.Float64Range(0, 20).Draw(t, "K"), C: rapid.Float64Range(100, 150).Draw(t, "C"),
		Law: rapid.SampledFrom([]FrictionLaw{Colebrook, SwameeJain, HazenWilliams}).Draw(t, "law"),
	}
}

// flowAtReynolds is the flow of water at 20 °C with that Reynolds number.
func flowAtReynolds(p Pipe, re float64) quantity.Flow {
	return quantity.Flow(re * water20.kinematic() * math.Pi / 4 * float64(p.Bore))
}

func TestLossGrowsWithFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPipe(t)
		re := rapid.OneOf(rapid.Float64Range(1, 1e6), rapid.Float64Range(1900, 4100)).Draw(t, "Re")
		less, err1 := p.Loss(flowAtReynolds(p, re), water20)
		more, err2 := p.Loss(flowAtReynolds(p, re*(1+1e-6)), water20)
		if err1 != nil || err2 != nil || !(0 < less && less < more) {
			t.Fatalf("%+v at Re %g: %v then %v, %v %v", p, re, less, more, err1, err2)
		}
	})
}

func TestFlowAtIsTheInverseOfLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPipe(t)
		q := flowAtReynolds(p, math.Pow(10, rapid.Float64Range(-2, 6.5).Draw(t, "log Re")))
		q *= quantity.Flow(rapid.SampledFrom([]float64{1, -1}).Draw(t, "direction"))
		loss, err := p.Loss(q, water20)
		if err != nil {
			t.Fatal(err)
		}
		back, err := p.FlowAt(loss, water20)
		if err != nil || !(math.Abs(float64(back/q)-1) <= 1e-9) {
			t.Fatalf("%+v: %g came back as %g, %v", p, q, back, err)
		}
	})
}

func TestLossIsOddInFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPipe(t)
		q := flowAtReynolds(p, rapid.Float64Range(0, 1e5).Draw(t, "Re"))
		there, err1 := p.Loss(q, water20)
		back, err2 := p.Loss(-q, water20)
		if err1 != nil || err2 != nil || there != -back {
			t.Fatalf("%+v: %v and %v, %v %v", p, there, back, err1, err2)
		}
	})
}

func TestLossIsContinuousAtTheEndsOfTheGap(t *testing.T) {
	for _, law := range []FrictionLaw{Colebrook, SwameeJain} {
		p := Pipe{Length: 10, Bore: quantity.Millimetres(6.35), Roughness: quantity.Millimetres(0.0015), Law: law}
		for _, re := range []float64{laminarEnd, turbulentStart} {
			below, _ := p.Loss(flowAtReynolds(p, re*(1-1e-9)), water20)
			above, _ := p.Loss(flowAtReynolds(p, re*(1+1e-9)), water20)
			near(t, law.String(), float64(above), float64(below), 1e-8)
		}
	}
}

func TestSeriesOfPipesLosesTheSumAndEqualSharesTheFlow(t *testing.T) {
	p := Pipe{Length: 10, Bore: quantity.Millimetres(15.8), Roughness: quantity.Millimetres(0.0015), MinorK: 2}
	twice := p
	twice.Length, twice.MinorK = 20, 4
	q := litresPerSecond(0.2)
	one, _ := p.Loss(q, water20)
	both, _ := Series{p, nil, p}.Loss(q, water20)
	long, _ := twice.Loss(q, water20)
	shared, _ := Equal{Count: 3, Each: p}.Loss(3*q, water20)
	near(t, "series", float64(both), float64(long), 1e-14)
	near(t, "equal", float64(shared), float64(one), 1e-14)
}

func TestPipeRefusesWhatItCannotBe(t *testing.T) {
	good := Pipe{Length: 1, Bore: 0.01}
	nan := math.NaN()
	bad := map[string]func(*Pipe){
		"no bore": func(p *Pipe) { p.Bore = 0 }, "bore not a number": func(p *Pipe) { p.Bore = quantity.Length(nan) },
		"negative length": func(p *Pipe) { p.Length = -1 }, "endless": func(p *Pipe) { p.Length = quantity.Length(math.Inf(1)) },
		"rougher than wide": func(p *Pipe) { p.Roughness = 0.02 }, "negative K": func(p *Pipe) { p.MinorK = -1 },
		"no C": func(p *Pipe) { p.Law = HazenWilliams }, "unknown law": func(p *Pipe) { p.Law = 9 },
	}
	for name, spoil := range bad {
		p := good
		spoil(&p)
		_, err1 := p.Loss(1e-4, water20)
		_, err2 := p.FlowAt(1e4, water20)
		_, err3 := p.Velocity(1e-4)
		_, err4 := p.Volume()
		_, _, err5 := p.HeadLoss(1e-4, 1e-6)
		for i, err := range []error{err1, err2, err3, err4, err5} {
			if !errors.Is(err, ErrRange) {
				t.Errorf("%s, door %d: got %v, want %v", name, i+1, err, ErrRange)
			}
		}
	}
	if _, err := (Pipe{Bore: 0.01}).FlowAt(1e4, water20); !errors.Is(err, ErrNoResistance) {
		t.Errorf("a pipe without length: got %v, want %v", err, ErrNoResistance)
	}
	if _, err := good.Loss(1e-4, Fluid{}); !errors.Is(err, ErrRange) {
		t.Errorf("no fluid: got %v, want %v", err, ErrRange)
	}
}

func TestPipeHoldsItsBoreTimesItsLength(t *testing.T) {
	v, err := Pipe{Length: quantity.Feet(100), Bore: quantity.Inches(0.375)}.Volume()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gallons", v.Gallons(), 0.5738, 1e-3) // published: geometry, 0.0408 d² gallons a foot with d in inches
}

func TestLineRefusesAnUnknownFormula(t *testing.T) {
	for _, r := range []LineRow{{HeadLossForm: "C-M"}, {Friction: "haaland"}, {HeadLossForm: "d-w"}} {
		if _, err := r.Solve(); !errors.Is(err, ErrRange) {
			t.Errorf("%+v: got %v, want %v", r, err, ErrRange)
		}
	}
}
