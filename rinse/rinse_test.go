package rinse

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rinsewright/internal/check"
	"rinsewright/quantity"
)

const derived = "from memory, unverified: "

// Water at 20 °C.
const (
	mu  quantity.Viscosity = 1.0016e-3
	rho quantity.Density   = 998.2
)

func um(x float64) quantity.Length { return quantity.Length(x * 1e-6) }

func TestResidueIsFilmTimesSolids(t *testing.T) {
	const source = derived + "arithmetic: 1 µm is 1 mL/m²"
	for _, c := range []struct{ um, mgL, want float64 }{
		{50, 100, 5.0},
		{50, 5, 0.25},
		{50, 10, 0.5},
		{50, 30, 1.5},
		{50, 50, 2.5},
		{50, 400, 20},
		{50, 0, 0},
		{0, 400, 0},
	} {
		got, err := Left(um(c.um), quantity.MilligramsPerLitre(c.mgL))
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, got.MilligramsPerSquareMetre(), c.want, 1e-9, source)
	}
}

func TestSilicaCountsThoughThePenDoesNotSeeIt(t *testing.T) {
	mg := quantity.MilligramsPerLitre
	with, err1 := Left(um(50), Solids(mg(1), mg(34)))
	without, err2 := Left(um(50), mg(1))
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	if with < 30*without {
		t.Errorf("with 34 mg/L silica %v, without %v", with, without)
	}
}

func TestDragOutTable(t *testing.T) {
	table := check.Ref(t, "testdata/ref/drag_out.csv")
	rows := DragOuts()
	if len(rows) != len(table.Rows) {
		t.Fatalf("%d rows, want %d", len(rows), len(table.Rows))
	}
	for i, row := range table.Rows {
		if rows[i].Position != row.Text("position") || rows[i].Drained != row.Text("drained") {
			t.Errorf("row %d is %+v", i, rows[i])
		}
		check.Within(t, float64(rows[i].Film)*1e6, row.Number("film_um"), 0.002, table.Source())
	}
}

func TestDrainingFilm(t *testing.T) {
	const source = derived + "Jeffreys 1930, 20 °C, 1 m below the top edge"
	for _, c := range []struct{ seconds, want float64 }{{30, 58.4}, {60, 41.3}} {
		film, err := Drain(1, quantity.Time(c.seconds), mu, rho)
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, float64(film.Bottom)*1e6, c.want, 0.05, source)
		check.Near(t, float64(film.Mean), 2.0/3*float64(film.Bottom), 1e-12, source)
	}
	// CHECKS G3: of the order of the drag-out table's well-drained rows
	film, err := Drain(1, 60, mu, rho)
	if err != nil {
		t.Fatal(err)
	}
	if mean := float64(film.Mean) * 1e6; !(16.3 < mean && mean < 32.6) {
		t.Errorf("a panel drained for a minute keeps %.1f µm, want between the table's 16.3 and 32.6", mean)
	}
}

// Water that has run off is what the film has lost: the law keeps volume,
// dh/dt + d(ρ g h³/(3μ))/dz = 0.
func TestDrainingFilmConservesWater(t *testing.T) {
	const z, at, dz, dt = 0.7, 40.0, 1e-3, 1e-2
	h := func(z, at float64) float64 {
		film, err := Drain(quantity.Length(z), quantity.Time(at), mu, rho)
		if err != nil {
			t.Fatal(err)
		}
		return float64(film.Bottom)
	}
	run := func(z float64) float64 { return float64(rho) * gravity * math.Pow(h(z, at), 3) / (3 * float64(mu)) }
	gain := (h(z, at+dt) - h(z, at-dt)) / (2 * dt)
	loss := (run(z+dz) - run(z-dz)) / (2 * dz)
	if math.Abs(gain+loss) > 1e-4*loss {
		t.Errorf("film gains %g m/s and loses %g", gain, loss)
	}
}

func TestDisplacement(t *testing.T) {
	table := check.Ref(t, "testdata/ref/displacement.csv")
	mg := quantity.MilligramsPerLitre
	d := Displacement{Film: quantity.Millimetres(0.1), Wash: mg(400), Rinse: mg(10)}
	for _, row := range table.Rows {
		rinse := quantity.Millimetres(row.Number("rinse_L_m2"))
		got, err := d.After(rinse)
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, got.MilligramsPerLitre(), row.Number("left_ppm"), 0.6, table.Source())
		back, err := d.Needed(got)
		if err != nil || math.Abs(float64(back/rinse)-1) > 1e-9 {
			t.Errorf("%g m of rinse needed to get to %g, %g gave it (%v)", back, got, rinse, err)
		}
	}
}

func TestDisplacementEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		strength := rapid.Float64Range(0, 2)
		d := Displacement{
			Film:  quantity.Length(rapid.Float64Range(1e-5, 1e-3).Draw(t, "film")),
			Wash:  quantity.MassConc(strength.Draw(t, "wash")),
			Rinse: quantity.MassConc(strength.Draw(t, "rinse")),
		}
		a := rapid.Float64Range(0, 0.9).Draw(t, "rinse per area")
		some, err1 := d.After(quantity.Length(a))
		more, err2 := d.After(quantity.Length(a * 1.1))
		none, err3 := d.After(0)
		all, err4 := d.After(1)
		if err := errors.Join(err1, err2, err3, err4); err != nil {
			t.Fatal(err)
		}
		gap := func(c quantity.MassConc) float64 { return math.Abs(float64(c - d.Rinse)) }
		if gap(more) > gap(some)+1e-15 || gap(none-d.Wash+d.Rinse) > 1e-15 || gap(all) > 1e-12 {
			t.Errorf("none %g, some %g, more %g, all %g do not go from %g to %g", none, some, more, all, d.Wash, d.Rinse)
		}
	})
}

func TestRinseNeverCleanerThanItsWater(t *testing.T) {
	mg := quantity.MilligramsPerLitre
	d := Displacement{Film: quantity.Millimetres(0.1), Wash: mg(400), Rinse: mg(40)}
	for _, want := range []quantity.MassConc{mg(40), mg(30), 0} {
		if _, err := d.Needed(want); !errors.Is(err, ErrRange) {
			t.Errorf("40 mg/L rinse down to %v: error %v, want ErrRange", want, err)
		}
	}
	if v, err := d.Needed(mg(500)); v != 0 || err != nil {
		t.Errorf("a film of 400 wants %v (%v) to be below 500", v, err)
	}
}

func TestSecondsPerSide(t *testing.T) {
	g := Gun{Flow: quantity.LitresPerMinute(6), OnPanel: 0.5, Side: 6}
	got, err := g.Seconds(quantity.Millimetres(0.3))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, float64(got), 36, 1e-9, derived+"arithmetic: 1.8 L at 3 L/min on the panel")
	back, err := g.Rinse(got)
	if err != nil || math.Abs(float64(back)-0.3e-3) > 1e-12 {
		t.Errorf("36 s lay down %g m (%v), want 0.3 L/m²", back, err)
	}
}

func TestDropsAreCapsOfSpheres(t *testing.T) {
	const source = derived + "geometry of a spherical cap"
	half := Drops{Base: quantity.Millimetres(3), ContactAngle: math.Pi / 2, Cover: 0.5}
	depth, err := half.Depth()
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, float64(depth)*1e3, 1.0, 1e-12, source+": half a ball of radius a is 2/3 a deep")
	film, err := half.Film()
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, float64(film)*1e3, 0.5, 1e-12, source)
	for _, angle := range []float64{0.3, 1, 1.9, 2.6} { // against the formula as printed in the comment
		d := Drops{Base: quantity.Millimetres(2), ContactAngle: angle}
		got, err := d.Depth()
		if err != nil {
			t.Fatal(err)
		}
		sin, cos := math.Sincos(angle)
		check.Within(t, float64(got)*1e3, (2-3*cos+cos*cos*cos)/(3*sin*sin*sin), 1e-9, source)
	}
}

// One water, one mass per panel: beads leave far more where they stand.
func TestBeadsLeaveMoreInTheirSpotsThanASheet(t *testing.T) {
	solids := quantity.MilligramsPerLitre(20)
	beads := Drops{Base: quantity.Millimetres(3), ContactAngle: 1.7, Cover: 0.3}
	spots, err1 := beads.InSpots(solids)
	film, err2 := Drain(1, 60, mu, rho)
	sheet, err3 := Left(film.Mean, solids)
	if err := errors.Join(err1, err2, err3); err != nil {
		t.Fatal(err)
	}
	if spots < 10*sheet {
		t.Errorf("spots %.2f mg/m², sheet %.2f", spots.MilligramsPerSquareMetre(), sheet.MilligramsPerSquareMetre())
	}
}

func TestFilmAllowedIsLeftBackwards(t *testing.T) {
	c, err := FilmAllowed(MilligramsPerSquareMetre(1.5), um(50))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, c.MilligramsPerLitre(), 30, 1e-9, derived+"arithmetic: 50 µm of 30 mg/L are 1.5 mg/m²")
}

func TestSurfacesAimBelowWhereTheyAct(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Surfaces() {
		if seen[s.ID] || !(0 < s.Target && s.Target < s.Act) || len(s.Tags) == 0 || s.Spread == "" {
			t.Errorf("surface %+v", s)
		}
		seen[s.ID] = true
	}
	boat, ok := SurfaceOf("boat")
	if !ok {
		t.Fatal("no boats")
	}
	check.Near(t, boat.Act.MilligramsPerLitre(), 50, 1e-12, "common practice, no source: boats dry clear below 50")
	if _, ok := SurfaceOf("bicycle"); ok {
		t.Error("bicycles are not in the table")
	}
}

func TestChainNamesWhereStrengthIsPickedUp(t *testing.T) {
	for _, c := range []struct {
		name            string
		tank, gun, drip float64
		want            Link
	}{
		{"spent resin", 45, 45, 60, FromWater},
		{"one bay lets tap across", 5, 63, 80, FromBay},
		{"rinsed too short", 8, 10, 60, FromPanel},
		{"wax or heat", 5, 6, 12, FromDrops},
		{"within the pens' doubt", 30.5, 31, 31, FromDrops},
	} {
		t.Run(c.name, func(t *testing.T) {
			mg := quantity.MilligramsPerLitre
			got, err := Chain{mg(c.tank), mg(c.gun), mg(c.drip)}.Weakest(mg(30), 0.05)
			if err != nil || got != c.want {
				t.Errorf("got %q (%v), want %q", got, err, c.want)
			}
		})
	}
}

func TestCrossOverPurgeAndLag(t *testing.T) {
	mg := quantity.MilligramsPerLitre
	f, err := CrossOver(mg(5), mg(60), mg(280))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, float64(f), 0.2, 1e-12, derived+"mixing: 80 % of 5 and 20 % of 280")
	purge, err := LinePurge(quantity.Litres(1.5), quantity.LitresPerMinute(6))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, float64(purge), 15, 1e-9, derived+"arithmetic: 1.5 L at 0.1 L/s")
	lag, err := TankLag(quantity.Gallons(300), quantity.GallonsPerDay(126))
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, lag.Days(), 2.4, 0.05, "common practice, no source: 300 gal at 126 gal a day needs about 2.4 days")
}

func TestRowsAreAnsweredOneByOne(t *testing.T) {
	mg := quantity.MilligramsPerLitre
	good := Row{
		ID: "a", Rinse: mg(10), Displacement: Displacement{Wash: mg(400)},
		Gun: Gun{Flow: quantity.LitresPerMinute(6), Side: 6}, Time: 36, Surface: "vehicle",
	}
	bad, dirty, soft := good, good, good
	bad.Gun.Side = quantity.Area(math.NaN())
	dirty.Silica = mg(34)
	soft.Surface, soft.Limit = "bicycle", 0
	rows := Calc([]Row{good, bad, dirty, soft})
	if rows[0].Err != nil || rows[0].ID != "a" || !rows[0].Reaches {
		t.Fatalf("row a gave %+v", rows[0])
	}
	check.Near(t, rows[0].FilmEnd.MilligramsPerLitre(), 29.4, 0.05, derived+"displacement by 0.3 L/m²: 10 + 390 e⁻³")
	check.Near(t, rows[0].Residue.MilligramsPerSquareMetre(), 1.47, 0.003, derived+"50 µm of it")
	check.Near(t, float64(rows[0].Needed), 12*math.Log(390.0/20), 1e-9, derived+"0.1 L/m² ln(390/20) at 12 s a film")
	if !errors.Is(rows[1].Err, ErrRange) || !errors.Is(rows[3].Err, ErrRange) {
		t.Errorf("side not a number: %v; bicycle: %v", rows[1].Err, rows[3].Err)
	}
	if rows[2].Err != nil || rows[2].Reaches {
		t.Errorf("44 mg/L rinse against 30: %+v", rows[2])
	}
}

// A nil error means a finite answer.
func FuzzCalc(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-300, 1e300} {
		f.Add(x, 0.03, 0.4, 1e-4, 1e-4, 0.5, 6.0, 36.0, 5e-5, 1e-6)
		f.Add(0.01, x, x, 1e-4, x, x, x, x, x, x)
	}
	f.Fuzz(func(t *testing.T, solids, silica, wash, film, flow, on, side, seconds, dried, limit float64) {
		r := Calc([]Row{{
			Rinse: quantity.MassConc(solids), Silica: quantity.MassConc(silica),
			Displacement: Displacement{Film: quantity.Length(film), Wash: quantity.MassConc(wash)},
			Gun:          Gun{Flow: quantity.Flow(flow), OnPanel: quantity.Ratio(on), Side: quantity.Area(side)},
			Time:         quantity.Time(seconds), Dried: quantity.Length(dried), Limit: Residue(limit),
		}})[0]
		if r.Err != nil {
			return
		}
		for _, x := range []float64{float64(r.Rinse), float64(r.FilmEnd), float64(r.Residue), float64(r.OfRinse), float64(r.Limit), float64(r.Needed)} {
			if !(0 <= x && x <= math.MaxFloat64) {
				t.Fatalf("%+v is not finite", r)
			}
		}
	})
}

func FuzzFilm(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, 1e-300, 1e300} {
		f.Add(x, 30.0, 1e-3, 998.0, 3e-3, 1.5, 0.3)
		f.Add(1.0, x, x, x, x, x, x)
	}
	f.Fuzz(func(t *testing.T, height, after, mu, rho, base, angle, cover float64) {
		if film, err := Drain(quantity.Length(height), quantity.Time(after), quantity.Viscosity(mu), quantity.Density(rho)); err == nil {
			if !(0 < film.Mean && film.Mean < film.Bottom && film.Bottom < 1) {
				t.Fatalf("film %+v", film)
			}
		}
		d := Drops{Base: quantity.Length(base), ContactAngle: angle, Cover: quantity.Ratio(cover)}
		if film, err := d.Film(); err == nil && !(0 <= film && film < 1) {
			t.Fatalf("drops of %+v are %v", d, film)
		}
	})
}
