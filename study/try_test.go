package study

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"rinsewright/internal/sitefile"
)

func TestTry(t *testing.T) {
	data, _ := os.ReadFile("../testdata/sites/cormorant-reach/site.toml")
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	var n notes
	t0 := time.Now()
	l, err := lookAt(context.Background(), s, drawn{}, &n, 1, change{})
	fmt.Println("took", time.Since(t0))
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range n.assumed {
		fmt.Println("assumed:", a)
	}
	p := l.today
	fmt.Printf("raw %v uS pH %.2f CO2 %.1f mg/L  Ca %v Na %v Cl %v SO4 %v contr %v\n", l.raw.Conductivity.MicrosiemensPerCm(), l.raw.Solution.PH, float64(l.raw.Solution.CO2())*44.01, l.raw.Water.Total[0], l.raw.Water.Total[2], l.raw.Water.Total[9], l.raw.Water.Total[10], l.raw.Contradictions)
	fmt.Printf("tap %.1f psi feed %.1f psi back %.1f Qf %.3f gpm Qp %.3f gpm rec %.2f A %v B %v\n", p.Tap.PSI(), p.Feed.Pressure.PSI(), p.BackPressure.PSI(), p.Feed.Flow.GallonsPerMinute(), p.Membrane.Permeate.Flow.GallonsPerMinute(), p.Recovery(), float64(l.rig.element.WaterPermeability)*3.6e11, float64(l.rig.element.SaltPermeability)*3.6e6)
	for _, x := range []strength{l.permeate, l.tank, l.polished, l.gun} {
		ppm, _ := penNaCl(x.at25)
		fmt.Printf("strength %.3f uS ppm %.2f pH %.2f CO2 %.1f HCO3 %.3f Na %.4f\n", x.at25.MicrosiemensPerCm(), float64(ppm)*1000, x.solution.PH, float64(x.solution.CO2())*44.01, float64(x.solution.Bicarbonate()), float64(x.water.Total[2]))
	}
	fmt.Printf("inlet %+v\nlife %.0f L shares %+v label %.0f L\n", l.inlet, l.life.Volume.Litres(), l.life.Shares, l.label.Litres())
	fmt.Printf("demand %+v\n", l.demand)
	fmt.Printf("days %.1f label %.0f\n", float64(l.life.Volume)/float64(l.demand.OpenDay), float64(l.label)/float64(l.demand.OpenDay))
	fmt.Printf("year wanted %d short %d starts %d running %v h tank %+v\n", l.year.Wanted, l.year.Short(), l.year.Starts, l.year.Running.Hours(), l.store)
	fmt.Printf("delivery %+v\n", l.delivery)
	fmt.Println(l.monthly)
}

func BenchmarkOperate(b *testing.B) {
	data, _ := os.ReadFile("../testdata/sites/cormorant-reach/site.toml")
	s, _ := sitefile.Read("site.toml", data)
	var n notes
	for b.Loop() {
		if _, err := lookAt(context.Background(), s, drawn{}, &n, 1, change{}); err != nil {
			b.Fatal(err)
		}
	}
}
