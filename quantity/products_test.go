package quantity

import (
	"errors"
	"testing"
)

func TestProductsCarryTheirDimension(t *testing.T) {
	must := func(x float64, err error) float64 {
		if err != nil {
			t.Error(err)
		}
		return x
	}
	for _, row := range []struct {
		claim      string
		got, want  float64
		wantSource string
	}{
		{"5 gpm for 10 min is 50 gal", GallonsPerMinute(5).Over(Minutes(10)).Gallons(), 50, "by definition"},
		{"50 gal in 10 min is 5 gpm", flowOf(must, Gallons(50), Minutes(10)).GallonsPerMinute(), 5, "by definition"},
		{"50 gal at 5 gpm takes 10 min", timeOf(must, Gallons(50), GallonsPerMinute(5)).Minutes(), 10, "by definition"},
		{"1 ppm for 1 h is 1 ppm-hour", MilligramsPerLitre(1).Times(Hours(1)).MilligramHoursPerLitre(), 1, "by definition"},
		{"400 mg/L in 1000 L is 400 g", float64(MilligramsPerLitre(400).In(Litres(1000))), 0.4, "by definition"},
		{"10 gpg in 700 gal is 1 lb as CaCO3", GrainsPerGallon(10).In(Gallons(700)).Pounds(), 1, "published: [SP811], 7000 grains to the pound"},
		{"25 LMH over 7.4 m² is 185 L/h", LitresPerSquareMetreHour(25).Over(SquareMetres(7.4)).CubicMetresPerHour(), 0.185, "by definition"},
		{"185 L/h over 7.4 m² is 25 LMH", fluxOf(must, CubicMetresPerHour(0.185), SquareMetres(7.4)).LitresPerSquareMetreHour(), 25, "by definition"},
		{"2 m/s over 3 m² is 6 m³/s", float64(MetresPerSecond(2).Over(SquareMetres(3))), 6, "by definition"},
		{"6 m³/s over 3 m² is 2 m/s", speedOf(must, Flow(6), SquareMetres(3)), 2, "by definition"},
		{"2 m/s for 3 s is 6 m", float64(MetresPerSecond(2).During(Seconds(3))), 6, "by definition"},
		{"1 kW for 3 h is 3 kWh", Watts(1000).During(Hours(3)).KilowattHours(), 3, "by definition"},
		{"1 bar moves 36 m³ for 1 kWh", Bar(1).Work(CubicMetres(36)).KilowattHours(), 1, "by definition"},
		{"1 m³/h against 36 bar is 1 kW", float64(CubicMetresPerHour(1).Against(Bar(36))), 1000, "by definition"},
		{"2 m by 3 m by 4 m is 24 m³", float64(Metres(2).Times(Metres(3)).Times(Metres(4))), 24, "by definition"},
		{"25 °C is 9 °F above 20 °C", float64(Celsius(25).Minus(Celsius(20))) * 1.8, 9, "by definition"},
		{"20 °C and 5 °C more is 25 °C", Celsius(20).Plus(5).Celsius(), 25, "by definition"},
		{"0.055 µS/cm is 18.18 MΩ·cm", megohmsOf(must, MicrosiemensPerCm(0.055)), 18.181818, "by definition"},
		{"1 MΩ·cm is 1 µS/cm", microsiemensOf(must, MegohmCm(1)), 1, "by definition"},
	} {
		if !near(row.got, row.want, 1e-7) {
			t.Errorf("%s: got %v (%s)", row.claim, row.got, row.wantSource)
		}
	}
}

type checked func(float64, error) float64

func flowOf(c checked, v Volume, t Time) Flow {
	f, err := v.Filling(t)
	return Flow(c(float64(f), err))
}

func timeOf(c checked, v Volume, f Flow) Time {
	t, err := v.FillTime(f)
	return Time(c(float64(t), err))
}

func fluxOf(c checked, f Flow, a Area) Flux { x, err := f.Per(a); return Flux(c(float64(x), err)) }

func speedOf(c checked, f Flow, a Area) float64 { s, err := f.Through(a); return c(float64(s), err) }

func megohmsOf(c checked, k Conductivity) float64 {
	r, err := k.Resistivity()
	return Resistivity(c(float64(r), err)).MegohmCm()
}

func microsiemensOf(c checked, r Resistivity) float64 {
	k, err := r.Conductivity()
	return Conductivity(c(float64(k), err)).MicrosiemensPerCm()
}

func TestDivisionByNothingIsRefused(t *testing.T) {
	for name, err := range map[string]error{
		"resistivity of an insulator": second(Conductivity(0).Resistivity()),
		"tiny conductivity":           second(Conductivity(5e-324).Resistivity()),
		"conductivity of no ohms":     second(Resistivity(0).Conductivity()),
		"flow in no time":             second(Gallons(50).Filling(0)),
		"no volume in no time":        second(Volume(0).Filling(0)),
		"time at no flow":             second(Gallons(50).FillTime(0)),
		"speed over no area":          second(GallonsPerMinute(5).Through(0)),
		"flux over no area":           second(GallonsPerMinute(5).Per(0)),
	} {
		if !errors.Is(err, ErrZero) {
			t.Errorf("%s: %v, want %v", name, err, ErrZero)
		}
	}
}

func TestSystemsHaveNames(t *testing.T) {
	if US.String() != "US" || SI.String() != "SI" {
		t.Errorf("systems print as %v and %v", US, SI)
	}
}
