package membrane

import (
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
	"rinsewright/water"
)

// salt is one pure salt: how much of each ion a mole gives.
type salt struct {
	name          string
	cation, anion water.Component
	plus, minus   float64
	charges       float64 // per mole, of one sign
	diffusivity   float64 // 1e-9 m2/s at 25 °C
}

// from memory, unverified: diffusivities of salts at infinite dilution.
var salts = []salt{
	{"NaCl", water.Sodium, water.Chloride, 1, 1, 1, 1.61},
	{"KCl", water.Potassium, water.Chloride, 1, 1, 1, 1.99},
	{"CaCl2", water.Calcium, water.Chloride, 1, 2, 2, 1.335},
	{"Na2SO4", water.Sodium, water.Sulphate, 2, 1, 2, 1.23},
	{"MgSO4", water.Magnesium, water.Sulphate, 1, 1, 2, 0.849},
	{"NaNO3", water.Sodium, water.Nitrate, 1, 1, 1, 1.568},
}

// feed is 5 eq/m3 of the salt at 60 psi and 4 gpm.
func (s salt) feed() water.Stream {
	w := water.Water{Temperature: quantity.Celsius(25)}
	w.Total[s.cation] = quantity.MolarConc(5 / s.charges * s.plus)
	w.Total[s.anion] = quantity.MolarConc(5 / s.charges * s.minus)
	return water.Stream{Water: w, Flow: quantity.GallonsPerMinute(4), Pressure: quantity.PSI(60)}
}

func TestMixedDiffusivityIsThatOfEachSaltAlone(t *testing.T) {
	for _, s := range salts {
		w := s.feed().Water
		sp := must[speciated](t)(speciate(&w))
		check.Within(t, sp.n.saltDiffusivity()*1e9, s.diffusivity, 0.01, "from memory, unverified: diffusivity of "+s.name+" at infinite dilution, 25 °C, 1e-9 m2/s")
	}
}

func TestDiffusivityFallsInTheCold(t *testing.T) {
	const source = "from memory, unverified: diffusivity of NaCl used beside viscosity in tables of spiral channels, 1e-9 m2/s"
	for _, c := range []struct{ celsius, viscosity, want float64 }{{25, 0.89e-3, 1.61}, {15, 1.138e-3, 1.2}, {10, 1.306e-3, 1.05}} {
		check.Within(t, warm(nacl, c.celsius+273.15, c.viscosity)*1e9, c.want, 0.03, source)
	}
	train := pair(t)
	f := must[Feed](t)(FeedOf(salts[4].feed(), 0))
	plain := must[Feed](t)(FeedOf(salts[0].feed(), 0))
	check.Within(t, float64(f.Diffusivity/plain.Diffusivity), 0.849/1.61, 0.01, "from memory, unverified: diffusivities of MgSO4 and NaCl at infinite dilution")
	f.OsmoticPressure, plain.OsmoticPressure, f.Passage = quantity.Bar(1), quantity.Bar(1), 1
	slow, _, err := train.Flows(f)
	if err != nil {
		t.Fatal(err)
	}
	fast, _, _ := train.Flows(plain)
	if !(slow < fast) {
		t.Errorf("a salt that diffuses slowly lets %v through, a quick one %v", slow, fast)
	}
}

// A single salt crosses as a whole: as the geometric mean of its two ions, and no acid or base with it.
func TestEachSaltCrossesWhole(t *testing.T) {
	for _, s := range salts {
		feed := s.feed()
		r := must[Result](t)(pair(t).Run(feed, 0, 0))
		p, q := passage(r, feed.Water, s.cation), passage(r, feed.Water, s.anion)
		near(t, s.name+" anion beside cation", q, p, 1e-3)
		if a := float64(r.Permeate.Water.Alkalinity); !(math.Abs(a) < 1e-3*5*p) {
			t.Errorf("%s: permeate alkalinity %.3g of %.3g eq/m3 of salt", s.name, a, 5*p)
		}
		near(t, s.name+" lumped beside ion by ion", float64(r.Passage), p, 0.03)
	}
}

func TestCausticCrossesWithItsSodium(t *testing.T) {
	feed := salts[0].feed()
	feed.Water.Total[water.Sodium] += 1
	feed.Water.Alkalinity = 1
	r := must[Result](t)(pair(t).Run(feed, 0, 0))
	if share := float64(r.Permeate.Water.Alkalinity) / 1; !(share > passage(r, feed.Water, water.Chloride)) {
		t.Errorf("hydroxide passes %.4f, chloride %.4f: want more", share, passage(r, feed.Water, water.Chloride))
	}
}

func TestCarbonDioxideHasNoOsmoticPressure(t *testing.T) {
	plain, gassed := tapStream(15), tapStream(15)
	gassed.Water.Total[water.Carbon] += 3
	a, b := must[Feed](t)(FeedOf(plain, 0)), must[Feed](t)(FeedOf(gassed, 0))
	gas := 3 * gasConstant * 288.15 // Pa
	if d := math.Abs(float64(b.OsmoticPressure - a.OsmoticPressure)); !(d < 0.1*gas) {
		t.Errorf("3 mol/m3 of CO2 change it by %.0f of %.0f Pa", d, gas)
	}
}

func TestSpeciesOfAComponentSumToIt(t *testing.T) {
	for _, carbon := range []float64{0.6, 0.97, 1.2} {
		w := tapWater(15)
		w.Total[water.Carbon] = quantity.MolarConc(carbon * float64(w.Alkalinity))
		sp := must[speciated](t)(speciate(&w))
		for c, sum := range sp.n.totals() {
			if want := float64(w.Total[c]); !(math.Abs(sum-want) <= 1e-12*want) {
				t.Errorf("%v: %.12g, want %.12g", water.Component(c), sum, want)
			}
		}
		if e := sp.n.charge(); !(math.Abs(e) < 2e-3*float64(w.Alkalinity)) {
			t.Errorf("carbon %v: charge %.4g eq/m3", carbon, e)
		}
	}
}

// What leaves the channel is on the other side.
func TestPassengersAreNotLost(t *testing.T) {
	s := tapStream(15)
	f, sp, err := feedOf(s, 0)
	if err != nil {
		t.Fatal(err)
	}
	const q = 2e-4 // m3/s
	p := board(&sp.n, q, &f)
	p.base = 1e-7
	p.leak(0.01)
	m := crossing{j: 5e-6, raise: 1.3, q: q}
	for range 10 {
		p.cross(&m, q, 0.4)
	}
	for i := range p.flow {
		if in := sp.n[i] * q; in > 0 {
			near(t, "species", p.flow[i]+p.over[i], in, 1e-12)
			if !(p.over[i] > 0.01*in) {
				t.Errorf("species %d: %v of %v crossed", i, p.over[i], in)
			}
		}
	}
	// Silica diffuses faster than a mixed salt, so its film is thinner in effect.
	var b, c amounts
	p.fill(&b, &c, &m, q, 0, math.Pow(m.raise, p.ride))
	own := b[silicicAcid] / (p.base * traits[silicicAcid].passage)
	if ratio := math.Log(own) / math.Log(m.raise); !(ratio > 1 == (float64(f.Diffusivity) > warm(1.1e-9, 288.15, float64(f.Viscosity)))) || ratio == 1 {
		t.Errorf("film exponent %v at salt diffusivity %v", ratio, f.Diffusivity)
	}
}
