package resin_test

import (
	"math"
	"testing"

	"rinsewright/quantity"
	"rinsewright/resin"
	"rinsewright/water"
)

// mixedBedFeed is the feed of run COL7 and its bed, with the affinities that run
// used, log K against sodium and against hydroxide.
// reference code: PHREEQC 3.8.8, phreeqc.dat with H and anion exchange added.
func mixedBedFeed(t testing.TB) (resin.Polisher, water.Water) {
	t.Helper()
	_, bed := referenceMixedBed(t)
	for _, p := range readRef(t, "column_params.csv") {
		if p["run"] != "COL7" {
			continue
		}
		kelvin := number(t, p["temp_C"]) + 273.15
		polisher := resin.NewPolisher(bed)
		polisher.Cells = int(number(t, p["cells"]))
		const logHydrogen = -0.19
		for _, e := range exchanger {
			logK := e.logK - e.enthalpy*1000/(math.Ln10*8.31446)*(1/kelvin-1/298.15)
			polisher.Affinities[e.component] = math.Pow(10, logK-float64(e.charge)*logHydrogen)
		}
		for component, logK := range map[water.Component]float64{
			water.Chloride: 1.34, water.Carbon: 0.78, water.Nitrate: 1.81, water.Fluoride: 0.20, water.Silica: 0.30, water.Sulphate: 2.50,
		} {
			polisher.Affinities[component] = math.Pow(10, logK)
		}
		return polisher, referenceFeed(t, p).Water()
	}
	t.Fatal("no run COL7")
	return resin.Polisher{}, water.Water{}
}

func TestMixedBedLetsIonsGoInTheReferenceOrder(t *testing.T) {
	polisher, feed := mixedBedFeed(t)
	run, err := polisher.Start(feed.Temperature)
	if err != nil {
		t.Fatal(err)
	}
	reference := readRef(t, "COL7.csv")
	ions := map[string]water.Component{"C4_total": water.Carbon, "SiO2": water.Silica, "F": water.Fluoride, "Cl": water.Chloride, "Na": water.Sodium}
	var x []float64
	y := map[string][]float64{}
	for range 23684 {
		out, err := run.Shift(feed)
		if err != nil {
			t.Fatal(err)
		}
		x = append(x, out.BedVolumes)
		for name, component := range ions {
			y[name] = append(y[name], float64(out.Water.Total[component]))
		}
	}
	for name, component := range ions {
		var wantX, wantY []float64
		for _, row := range reference {
			wantX = append(wantX, number(t, row["bed_volumes"]))
			wantY = append(wantY, number(t, row[name+"_mmolkgw"]))
		}
		level := float64(feed.Total[component]) / 2
		want, ok := crossing(wantX, wantY, level)
		if !ok {
			t.Fatalf("%s does not break through in the reference run", name)
		}
		got, ok := crossing(x, y[name], level)
		t.Logf("%s %.2f %.2f %+.2f%%", name, got, want, 100*(got/want-1))
		if !ok || math.Abs(got-want) > 0.02*want {
			t.Errorf("%s reaches half its feed at %.1f bed volumes, want %.1f within 2 %% (reference code: PHREEQC 3.8.8, run COL7)", name, got, want)
		}
	}
}

var _ quantity.Ratio
