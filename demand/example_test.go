package demand_test

import (
	"context"
	"fmt"
	"time"

	"rinsewright/demand"
	"rinsewright/quantity"
)

// A marina, invented: May to October, Saturdays 22 boats of 40 L.
func Example() {
	p, assumed, err := demand.FromAnswers(demand.Answers{
		VehiclesPerDay: 9, VehiclesBusiest: 22,
		FirstMonth: time.May, LastMonth: time.October,
		LitresPerVehicle: quantity.Litres(40), GunFlow: quantity.LitresPerMinute(8),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := p.Demand()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d open days, Saturdays %.0f L, assumed %d things\n", d.OpenDays, d.BusyDay.Litres(), len(assumed))
	// Output: 184 open days, Saturdays 880 L, assumed 8 things
}

// 200 gallons of usable water under a gun of 4 gpm while 1.5 gpm comes in.
func ExampleEmptyTime() {
	t, err := demand.EmptyTime(quantity.Gallons(200), quantity.GallonsPerMinute(4), quantity.GallonsPerMinute(1.5))
	fmt.Printf("%.0f minutes, %v\n", t.Minutes(), err)
	// Output: 80 minutes, <nil>
}

func ExampleSimulateYear() {
	p, _, err := demand.FromAnswers(demand.Answers{VehiclesPerDay: 60, Bays: 3, LitresPerVehicle: quantity.Litres(10)})
	if err != nil {
		fmt.Println(err)
		return
	}
	makeUp := quantity.LitresPerMinute(1)
	tank, err := demand.VentedTank(quantity.Litres(1500), makeUp)
	if err != nil {
		fmt.Println(err)
		return
	}
	y, err := demand.SimulateYear(context.Background(), p, tank, demand.SteadyMakeUp(makeUp), 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("all accounted for:", y.Served+y.Short()+y.TurnedAway+y.Unfinished == y.Wanted)
	// Output: all accounted for: true
}

// A wash of 30 vehicles a day, 55 on Saturdays, with a tank of 750 L: what more
// tank buys, and until when this one does.
func ExampleGoodUntil() {
	profile, _, err := demand.FromAnswers(demand.Answers{
		VehiclesPerDay: 30, VehiclesBusiest: 55, Bays: 3,
		LitresPerVehicle: quantity.Litres(9),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := demand.Case{
		Profile: profile,
		Tank:    demand.Tank{Total: 0.75, Stop: 0.7, Start: 0.6, CutOff: 0.06, Restart: 0.13},
		MakeUp:  demand.SeasonalMakeUp(quantity.LitresPerMinute(0.22), quantity.LitresPerMinute(0.34), 14),
	}
	m, err := demand.MapRisk(context.Background(), c, []quantity.Ratio{0.9, 1, 1.1}, 20, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range m.Rows {
		usable, _ := row.Usable(0.1)
		fmt.Printf("%.1f times the make-up: %.0f L keep it to one dry year in ten\n", float64(row.Times), usable.Litres())
	}
	g, err := demand.GoodUntil(context.Background(), c, 0.1, 20, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("good until %.0f vends on the busiest day\n", g.BusiestDay)
	// Output:
	// 0.9 times the make-up: 1480 L keep it to one dry year in ten
	// 1.0 times the make-up: 590 L keep it to one dry year in ten
	// 1.1 times the make-up: 519 L keep it to one dry year in ten
	// good until 55 vends on the busiest day
}
