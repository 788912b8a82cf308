package membrane_test

import (
	"fmt"

	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// published: ASTM D4516-19a, section 6.1, worked: 8 L/min at 15 °C is 11.37 L/min at 25 °C.
func ExampleNormalisedFlow() {
	kPa := func(x float64) quantity.Pressure { return quantity.Pressure(1e3 * x) }
	standard := membrane.Condition{
		FeedPressure: kPa(1000), Drop: kPa(100), PermeatePressure: kPa(50),
		FeedOsmotic: kPa(60), PermeateOsmotic: kPa(1), Temperature: quantity.Celsius(25),
	}
	actual := standard
	actual.Temperature = quantity.Celsius(15)
	q, err := membrane.NormalisedFlow(quantity.LitresPerMinute(8), actual, standard, membrane.WaterEnergies())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f L/min\n", q.LitresPerMinute())
	// Output: 11.37 L/min
}

// published: ASTM D4582-91, section 7.1: calcium of the concentrate at half recovery.
func ExampleConcentrateStrength() {
	c, err := membrane.ConcentrateStrength(quantity.MilligramsPerLitre(150), 0.5, 0.01)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mg/L\n", c.MilligramsPerLitre())
	// Output: 298.5 mg/L
}

// An invented element on its own test feed repeats its data sheet.
func ExampleTrain_Run() {
	e, _, err := membrane.FromSheet(membrane.Sheet{
		Area: 7.9, PermeateFlow: quantity.GallonsPerDay(2300), Rejection: 0.993, TestPressure: quantity.PSI(100),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	feed := water.Stream{Flow: quantity.Flow(float64(e.Sheet.PermeateFlow) / 0.15), Pressure: quantity.PSI(100)}
	feed.Water.Temperature = quantity.Celsius(25)
	feed.Water.Total[water.Sodium] = quantity.MolarConc(0.5 / 58.443e-3) // 500 mg/L NaCl
	feed.Water.Total[water.Chloride] = feed.Water.Total[water.Sodium]

	train := membrane.Train{Housings: []membrane.Housing{{Element: e, Wear: membrane.New()}}}
	r, err := train.Run(feed, 0, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	rejection := 1 - r.Permeate.Water.Total[water.Sodium]/feed.Water.Total[water.Sodium]
	fmt.Printf("%.0f gpd, recovery %.0f %%, rejection %.1f %%\n",
		r.Permeate.Flow.GallonsPerMinute()*1440, 100*float64(r.Recovery), 100*float64(rejection))
	// Output: 2300 gpd, recovery 15 %, rejection 99.3 %
}
