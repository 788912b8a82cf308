package membrane

import (
	"math"
	"testing"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

const lmh = 1e-3 / 3600 // m/s

func TestOnePlaceOfMembraneAgreesWithSolutionDiffusion(t *testing.T) {
	table := check.Ref(t, "testdata/ref/ro_solution_diffusion_point.csv")
	for _, row := range table.Rows {
		a, b := row.Number("A_LMH_per_bar")*lmh/1e5, row.Number("B_LMH")*lmh
		film := row.Number("beta_CP") * row.Number("Cf_mg_L")
		j, s := flux(a, b, 0, row.Number("dP_bar")*1e5, film*row.Number("pi_bar_per_mg_L")*1e5, 0, &raising{})
		cp, _ := permeate(j, b, s, film)
		tol := row.Number("tol_rel")
		check.Within(t, j/lmh, row.Number("J_LMH"), tol, table.Source())
		check.Within(t, cp, row.Number("Cp_mg_L"), tol, table.Source())
		check.Within(t, 1-cp/row.Number("Cf_mg_L"), row.Number("obs_rejection"), tol, table.Source())
	}
}

// The film's own definition: (c_m − c_p)/(c_b − c_p) = exp(J/k), and both fluxes of solution-diffusion.
func TestFluxSatisfiesEveryEquationItIsMadeOf(t *testing.T) {
	const a, b, k, p, pi = 2e-11, 8e-8, 1.7e-5, 6e5, 1.2e5
	j, s := flux(a, b, k, p, pi, 0, &raising{})
	cp, js := permeate(j, b, s, 1)
	cm := cp + (1-cp)*math.Exp(j/k)
	near(t, "water", j, a*(p-pi*(cm-cp)), 1e-7)
	near(t, "salt", js, b*(cm-cp), 1e-7)
	near(t, "mixing", js, j*cp, 1e-12)
}

// ideal is a channel without film, friction or salt passage: 1 m² of membrane.
func ideal(a float64) conduit { return conduit{a: a, area: 1, section: 1e-3, length: 1} }

// marchIdeal runs c from flow q at pressure p and returns the end of the channel.
func marchIdeal(c *conduit, q, p, pi float64, n int) place {
	w := place{q: q, salt: q, p: p}
	for i := range n {
		w.step(c, i, n, 0, pi)
	}
	return w
}

func TestMarchConvergesOnTheClosedFormOfPerfectRejection(t *testing.T) {
	table := check.Ref(t, "testdata/ref/ro_perfect_rejection_closed_form.csv")
	for _, row := range table.Rows {
		const pi, q = 1e5, 1e-4 // Pa, m3/s
		p, y := row.Number("pressure_ratio_dP_over_pi0"), row.Number("recovery")
		c := ideal(row.Number("MTU_A*S*pi0/Qf") * q / pi)
		for _, grid := range []struct {
			slices    int
			tolerance float64
		}{{DefaultSlices, 1e-3}, {200, 1e-3}, {4000, 1e-5}} {
			w := marchIdeal(&c, q, p*pi, pi, grid.slices)
			check.Within(t, 1-w.q/q, y, grid.tolerance, table.Source())
		}
	}
}

func TestMarchConvergesOnTheClosedFormOfConstantRejection(t *testing.T) {
	table := check.Ref(t, "testdata/ref/ro_recovery_identities.csv")
	for _, row := range table.Rows {
		const q, p = 1e-4, 1e6 // m3/s, Pa
		y, r := row.Number("recovery"), row.Number("r_local")
		c := ideal(y * q / p)
		j := c.a * p
		c.b = j * (1 - r) / r
		for _, grid := range []struct {
			slices    int
			tolerance float64
		}{{DefaultSlices, 1e-3}, {200, 1e-3}, {4000, 1e-5}} {
			w := marchIdeal(&c, q, p, 0, grid.slices)
			near(t, "recovery", 1-w.q/q, y, 1e-9)
			check.Within(t, (q-w.salt)/(q-w.q), row.Number("permeate_over_feed_plugflow"), grid.tolerance, table.Source())
			check.Within(t, w.salt/w.q, row.Number("end_concentration_factor"), grid.tolerance, table.Source())
		}
	}
}

func TestMarchIsSecondOrder(t *testing.T) {
	const pi, q, p = 1e5, 1e-4, 5e5 // Pa, m3/s, Pa
	c := ideal(0.1392332 * q / pi)  // recovery one half at p/π = 5 when perfect
	c.b = 0.5 * c.a * p             // far from perfect, so that salt counts too
	errors := func(n int) [2]float64 {
		w, exact := marchIdeal(&c, q, p, pi, n), marchIdeal(&c, q, p, pi, 20000)
		return [2]float64{w.q - exact.q, w.salt - exact.salt}
	}
	coarse, fine := errors(50), errors(100)
	for i, what := range []string{"water", "salt"} {
		if ratio := coarse[i] / fine[i]; !(ratio > 3.2 && ratio < 5) {
			t.Errorf("%s: halving the slices divides the error by %.2f, want about 4", what, ratio)
		}
	}
}

func TestChannelAgreesWithThePublishedCorrelation(t *testing.T) {
	table := check.Ref(t, "testdata/ref/ro_spiral_correlation.csv")
	for _, row := range table.Rows {
		c := Channel{
			Speed:       quantity.Speed(row.Number("v_m_s")),
			Diameter:    quantity.Length(row.Number("dh_m")),
			Viscosity:   quantity.Viscosity(row.Number("mu_Pa_s")),
			Density:     quantity.Density(row.Number("rho_kg_m3")),
			Diffusivity: quantity.Diffusivity(row.Number("D_m2_s")),
		}
		tol := row.Number("tol_rel")
		k := float64(must[quantity.Speed](t)(c.Transfer()))
		check.Within(t, c.Reynolds(), row.Number("Re"), tol, table.Source())
		check.Within(t, k, row.Number("k_m_s"), tol, table.Source())
		check.Within(t, must[float64](t)(c.Friction()), row.Number("f"), tol, table.Source())
		check.Within(t, float64(must[quantity.Pressure](t)(c.Drop(quantity.Length(row.Number("L_m"))))), row.Number("dP_Pa"), tol, table.Source())
		check.Within(t, math.Exp(25*lmh/k), row.Number("beta_exp_J_over_k_at_25LMH"), tol, table.Source())
	}
}

// from memory, unverified: a net of 0.7 to 0.8 mm is commonly given 0.9 to 1.05 mm hydraulic diameter.
func TestHydraulicDiameterOfAUsualNet(t *testing.T) {
	for _, h := range []float64{0.71, 0.79} {
		if d := 1e3 * float64(HydraulicDiameter(quantity.Millimetres(h))); !(d > 0.88 && d < 1.06) {
			t.Errorf("net of %v mm: %.3f mm", h, d)
		}
	}
}

func TestSlowChannelStillMixesAsLaminarFlowDoes(t *testing.T) {
	c := Channel{Speed: 0.005, Diameter: 0.91e-3, Viscosity: 1e-3, Density: 998, Diffusivity: 1.4e-9}
	k := float64(must[quantity.Speed](t)(c.Transfer()))
	check.Within(t, k*0.91e-3/1.4e-9, 7.54, 1e-9, "from memory, unverified: Sherwood number of fully developed laminar flow between plates")
	f := must[Feed](t)(FeedOf(tapStream(15), 0))
	e := tapElement(t)
	conduit := e.conduit(&f)
	w := place{q: 1e-6, salt: 1e-6, p: 4e5}
	near(t, "march", w.middle(&conduit, 0, 20, 0, 0).k, laminarSherwood*float64(f.Diffusivity)/e.diameter, 1e-12)
}

func TestPowersFollowSpeed(t *testing.T) {
	var p powers
	for v := 0.2; v > 0.02; v *= 0.985 {
		p.at(v)
		near(t, "v^0.875", p.film, math.Pow(v, 0.875), 1e-6)
		near(t, "v^1.7", p.loss, math.Pow(v, 1.7), 1e-6)
	}
}
