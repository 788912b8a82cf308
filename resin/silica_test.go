package resin_test

import (
	"testing"

	"rinsewright/quantity"
	"rinsewright/resin"
)

// The reference code's mixed bed carries silica, carbonate, chloride and the
// rest through both resins at equilibrium: its fronts are nearly sharp, so they
// must fall where stoichiometry puts them, and the silica that is pushed out
// must reach the whole anion load.
func TestSilicaIsDumpedAtTheStrengthOfAllAnions(t *testing.T) {
	in, bed := referenceMixedBed(t)
	got, err := bed.SilicaBreak(in)
	if err != nil {
		t.Fatal(err)
	}
	var bedVolumes, silica, carbon []float64
	peak := 0.0
	for _, row := range readRef(t, "COL7.csv") {
		bedVolumes = append(bedVolumes, number(t, row["bed_volumes"]))
		silica = append(silica, number(t, row["SiO2_mmolkgw"]))
		carbon = append(carbon, number(t, row["C4_total_mmolkgw"]))
		peak = max(peak, silica[len(silica)-1])
	}
	const source = "reference code: PHREEQC 3.8.8, run COL7"
	near(t, "silica dumped, mmol/L", float64(got.Dump), peak, 0.02, source)
	carbonBreak, ok := crossing(bedVolumes, carbon, float64(in.Bicarbonate)/2)
	if !ok {
		t.Fatal("carbonate does not break through in the reference run")
	}
	near(t, "bed volumes to the end of the dump", float64(got.DumpEnds)/float64(bed.Volume), carbonBreak, 0.02, source)

	// The stoichiometric front of silica is the whole anion capacity over the load.
	life, err := bed.Life(in)
	if err != nil {
		t.Fatal(err)
	}
	silicaBreak, ok := crossing(bedVolumes, silica, float64(in.Silica)/2)
	if !ok {
		t.Fatal("silica does not break through in the reference run")
	}
	near(t, "bed volumes to the silica front", float64(life.AnionVolume)/float64(bed.Volume), silicaBreak, 0.03, source)
	if !(got.Low < got.Volume && got.Volume < life.AnionVolume && life.AnionVolume < got.DumpEnds) {
		t.Errorf("silica break %v, life %v, dump's end %v are out of order", got.Volume, life.AnionVolume, got.DumpEnds)
	}
}

// referenceMixedBed is the bed and the feed of run COL7, per kg of water.
func referenceMixedBed(t testing.TB) (resin.Inlet, resin.Bed) {
	t.Helper()
	for _, p := range readRef(t, "column_params.csv") {
		if p["run"] != "COL7" {
			continue
		}
		feed := func(name string) float64 { return number(t, p["feed_"+name+"_mmolkgw"]) }
		in := resin.Inlet{
			StrongCations: quantity.EquivConc(2*(feed("Ca")+feed("Mg")+feed("Ba")+feed("Sr")+feed("Fe2")) + feed("Na") + feed("K")),
			StrongAnions:  quantity.EquivConc(feed("Cl") + 2*feed("SO4") + feed("NO3") + feed("F")),
			Bicarbonate:   quantity.EquivConc(feed("C4")),
			Silica:        quantity.MolarConc(feed("SiO2")),
		}
		return in, resin.Bed{
			Volume: 1, Utilisation: 1,
			CationCapacity: quantity.EquivConc(1000 * number(t, p["cation_capacity_eq_per_L_bed"])),
			AnionCapacity:  quantity.EquivConc(1000 * number(t, p["anion_capacity_eq_per_L_bed"])),
		}
	}
	t.Fatal("no run COL7")
	return resin.Inlet{}, resin.Bed{}
}

func TestSilicaLeavesBeforeThePenSeesAnything(t *testing.T) {
	bed, err := resin.MixedBed(quantity.CubicFeet(1), resin.New)
	if err != nil {
		t.Fatal(err)
	}
	in := permeate(10, 5, 2)
	life, err := bed.Life(in)
	if err != nil {
		t.Fatal(err)
	}
	silica, err := bed.SilicaBreak(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "silica break over life", float64(silica.Volume)/float64(life.AnionVolume), 0.86, 1e-9, "from memory, unverified")
	if silica.Dump < 5*in.Silica {
		t.Errorf("dump of %v is less than five times the inlet's %v", silica.Dump, in.Silica)
	}
}
