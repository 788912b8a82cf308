package hydraulics

import (
	"math"
	"testing"

	"rinsewright/quantity"
)

// finite fails when a door gave no error and yet a value that is no number.
func finite(t *testing.T, door string, err error, values ...float64) {
	t.Helper()
	for _, v := range values {
		if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Errorf("%s: %v without an error", door, v)
		}
	}
}

// oddValues seed every fuzz test.
var oddValues = []float64{0, math.Copysign(0, -1), 1, -1, 1e-300, 1e300, math.MaxFloat64, math.NaN(), math.Inf(1), math.Inf(-1)}

func FuzzPipe(f *testing.F) {
	for _, x := range oddValues {
		f.Add(x, 0.01, 1e-6, 1.0, 150.0, 1e-4, 1e3, 1e-3, uint8(0))
		f.Add(10.0, x, x, 1.0, x, 1e-4, 1e3, 1e-3, uint8(1))
		f.Add(10.0, 0.01, 1e-6, x, 150.0, x, 1e3, 1e-3, uint8(2))
		f.Add(10.0, 0.01, 1e-6, 1.0, 150.0, 1e-4, x, x, uint8(3))
	}
	f.Fuzz(func(t *testing.T, length, bore, rough, k, c, x, density, viscosity float64, law uint8) {
		p := Pipe{quantity.Length(length), quantity.Length(bore), quantity.Length(rough), k, FrictionLaw(law), c}
		fluid := Fluid{quantity.Density(density), quantity.Viscosity(viscosity)}
		loss, err := p.Loss(quantity.Flow(x), fluid)
		finite(t, "loss", err, float64(loss))
		q, err := p.FlowAt(quantity.Pressure(x), fluid)
		finite(t, "flow at", err, float64(q))
		v, h, err := p.HeadLoss(quantity.Flow(x), quantity.Diffusivity(viscosity))
		finite(t, "head loss", err, float64(v), float64(h))
		re, err := p.Reynolds(quantity.Flow(x), fluid)
		finite(t, "reynolds", err, re)
		volume, err := p.Volume()
		finite(t, "volume", err, float64(volume))
		fr, err := FrictionFactor(FrictionLaw(law), x, rough)
		finite(t, "friction", err, fr)
		all, err := CompareTubes(quantity.Flow(x), quantity.Length(length), fluid)
		for _, tube := range all {
			finite(t, "tubes", err, float64(tube.Loss), float64(tube.Velocity))
		}
	})
}

func FuzzParts(f *testing.F) {
	for _, x := range oddValues {
		f.Add(x, 1e-3, 0.5)
		f.Add(1e5, x, 0.5)
		f.Add(1e5, 1e-3, x)
		f.Add(x, x, x)
	}
	f.Fuzz(func(t *testing.T, a, b, c float64) {
		parts := []Restrictor{
			Kv(b), Cv(c),
			Orifice{quantity.Length(b), c},
			Nozzle{c, quantity.Ratio(b)},
			Capillary{quantity.Length(b), quantity.Length(c)},
			RatedRestrictor{quantity.Flow(b), quantity.Pressure(c)},
			CheckValve{quantity.Pressure(c), Kv(b)},
		}
		for _, r := range parts {
			q, err := r.Flow(quantity.Pressure(a), water20)
			finite(t, "flow", err, float64(q))
			p, err := r.Loss(quantity.Flow(a), water20)
			finite(t, "loss", err, float64(p))
		}
		q, err := HagenPoiseuille(quantity.Length(b), quantity.Length(c), quantity.Pressure(a), water20)
		finite(t, "laminar", err, float64(q))
		cap, err := CapillaryFor(quantity.Length(b), quantity.Flow(c), quantity.Pressure(a), water20)
		finite(t, "capillary", err, float64(cap.Length))
		w, err := NozzleWear(a, quantity.Flow(b), quantity.Pressure(c), water20)
		finite(t, "wear", err, float64(w))
		k, err := CoefficientFromK(a, quantity.Length(b))
		finite(t, "coefficient", err, float64(k))
		fk, err := FittingK(TeeBranch, quantity.Length(a))
		finite(t, "fitting", err, fk)
		open, err := FloatValve{Kv(1), quantity.Length(a), quantity.Length(b)}.Opening(quantity.Length(c))
		finite(t, "float valve", err, float64(open))
		fuzzFilter(t, a, b, c)
	})
}

func fuzzFilter(t *testing.T, a, b, c float64) {
	t.Helper()
	filter := Filter{
		CleanDrop: quantity.Pressure(a), RatedFlow: quantity.Flow(b), Exponent: c, ChangeDrop: 1e5,
		Holds: quantity.Mass(b), Loading: quantity.Ratio(c),
	}
	p, err := filter.Loss(quantity.Flow(b), water20)
	finite(t, "filter", err, float64(p))
	x, err := filter.LoadingAt(quantity.Pressure(c), quantity.Flow(b))
	finite(t, "loading", err, float64(x))
	v, err := filter.VolumeToChange(quantity.MassConc(a))
	finite(t, "life", err, float64(v))
	after, err := filter.After(quantity.Volume(c), quantity.MassConc(a))
	finite(t, "after", err, float64(after.Loading))
}

func FuzzSupplies(f *testing.F) {
	for _, x := range oddValues {
		f.Add(x, 3e5, 1e-4, 2e-4)
		f.Add(4e5, x, 1e-4, 2e-4)
		f.Add(4e5, 3e5, x, 2e-4)
		f.Add(4e5, 3e5, 1e-4, x)
	}
	f.Fuzz(func(t *testing.T, a, b, c, d float64) {
		near, far := PumpPoint{quantity.Flow(c), quantity.Pressure(b)}, PumpPoint{quantity.Flow(d), quantity.Pressure(b / 3)}
		quadratic, _ := QuadraticPump([3]PumpPoint{{0, quantity.Pressure(a)}, near, far})
		power, _ := PowerPump(quantity.Pressure(a), near, far)
		duty, _ := DutyPump(quantity.Pressure(a), near)
		less, _ := duty.Less(quantity.Pressure(b))
		worn, _ := power.Worn(quantity.Ratio(d))
		supplies := []Supply{
			CityCurve{quantity.Pressure(a), quantity.Pressure(b), quantity.Flow(c)},
			quadratic, power, duty, less, worn,
			WellPump{duty, quantity.Pressure(b), quantity.Pressure(d)},
			Boosted{duty, quadratic},
			Level{quantity.Length(d), water20},
			Pump{Curve: power},
		}
		for _, s := range supplies {
			p, err := s.Pressure(quantity.Flow(d))
			finite(t, "supply", err, float64(p))
			q, err := FlowThrough(s, Kv(d), quantity.Pressure(b), water20)
			finite(t, "flow through", err, float64(q))
		}
		pump := Pump{duty, quantity.Flow(c), quantity.Ratio(d)}
		w, err := pump.Power(quantity.Flow(d))
		finite(t, "power", err, float64(w))
		tank := PressurisedTank{quantity.Volume(c), quantity.Pressure(d), quantity.Pressure(b), quantity.Pressure(a), 0}
		v, err := tank.Usable()
		finite(t, "usable", err, float64(v))
		mean, err := tank.MeanBackPressure()
		finite(t, "back-pressure", err, float64(mean))
		h, err := Suction{quantity.Pressure(a), quantity.Length(d), quantity.Pressure(b), quantity.Pressure(c), 0}.NPSHAvailable(water20)
		finite(t, "suction", err, float64(h))
		p, err := AtmosphericPressure(quantity.Length(a))
		finite(t, "atmosphere", err, float64(p))
		point, err := Delivery{From: duty, Gun: Kv(d), Rise: quantity.Length(d)}.With(1, water20)
		finite(t, "delivery", err, float64(point.GunFlow), float64(point.GunPressure), float64(point.SupplyPressure))
	})
}

func FuzzNetwork(f *testing.F) {
	for _, x := range oddValues {
		f.Add(x, 0.01, 1e-4, 0.1)
		f.Add(20.0, x, 1e-4, 0.1)
		f.Add(20.0, 0.01, x, 0.1)
		f.Add(20.0, 0.01, 1e-4, x)
	}
	f.Fuzz(func(t *testing.T, head, bore, demand, kv float64) {
		p := Pipe{Length: 10, Bore: quantity.Length(bore), MinorK: 1}
		duty, _ := DutyPump(quantity.Pressure(head*1e4), PumpPoint{quantity.Flow(demand), quantity.Pressure(head * 5e3)})
		n := Network{
			Reservoirs: []Reservoir{{"R", quantity.Length(head)}, {"S", 5}},
			Junctions:  []Junction{{Name: "a", Demand: quantity.Flow(demand)}, {Name: "b", Outlet: Kv(kv)}, {Name: "c", Elevation: quantity.Length(head / 2)}},
			Links:      []Link{{"Ra", "R", "a", p, false}, {"ab", "a", "b", p, false}, {"bc", "b", "c", Kv(kv), false}, {"ca", "c", "a", p, false}},
			Pumps:      []PumpLink{{"Sc", "S", "c", duty}},
		}
		s, err := n.Solve(water20)
		for _, q := range append(append(s.LinkFlow, s.PumpFlow...), s.OutletFlow...) {
			finite(t, "flow", err, float64(q))
		}
		for i := range s.Head {
			finite(t, "head", err, float64(s.Head[i]), float64(s.Pressure[i]))
		}
	})
}

func FuzzParseLaw(f *testing.F) {
	for _, s := range []string{"", "D-W", "H-W", "colebrook", "explicit", "\x00", "D-W ", "hazen-williams"} {
		f.Add(s, "explicit")
		f.Add("D-W", s)
	}
	f.Fuzz(func(t *testing.T, form, friction string) {
		if law, err := ParseLaw(form, friction); err == nil && law > HazenWilliams {
			t.Errorf("%q, %q gave %v", form, friction, law)
		}
	})
}
