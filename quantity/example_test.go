package quantity_test

import (
	"errors"
	"fmt"

	"rinsewright/quantity"
)

func Example() {
	feed, err := quantity.Parse[quantity.Pressure]("60 psi", quantity.Locale{})
	fmt.Println(quantity.Format(feed, quantity.SI), err)

	flow, err := quantity.Parse[quantity.Flow]("4,5 L/min", quantity.Locale{DecimalComma: true})
	fmt.Println(quantity.Format(flow, quantity.US), err)

	_, err = quantity.Parse[quantity.Pressure]("3 gpm", quantity.Locale{})
	fmt.Println(err)
	fmt.Println(errors.Is(err, quantity.ErrUnit))
	// Output:
	// 4.14 bar <nil>
	// 1.19 gpm <nil>
	// read "3 gpm", a flow; wanted a pressure such as "60 psi" or "4 bar"
	// true
}

func ExampleExact() {
	text, _ := quantity.Exact(quantity.Fahrenheit(77), "F")
	back, _ := quantity.Parse[quantity.Temperature](text, quantity.Locale{})
	fmt.Println(text, back == quantity.Fahrenheit(77))
	// Output: 77 F true
}

func ExamplePlain() {
	x, unit := quantity.Plain(quantity.Bar(4), quantity.SI)
	fmt.Println("feed_pressure_"+unit, x)
	// Output: feed_pressure_bar 4
}

func ExamplePressure_Work() {
	// One bar is 1/36 kWh per m³ (published: [SP811], exact).
	work := quantity.Bar(10).Work(quantity.CubicMetres(3.6))
	fmt.Println(quantity.Format(work, quantity.SI))
	// Output: 1 kWh
}
