package study

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
)

func TestTry(t *testing.T) {
	data, _ := os.ReadFile("../testdata/sites/cormorant-reach/site.toml")
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	t0 := time.Now()
	r, err := Check(context.Background(), s, Options{Seed: 1})
	fmt.Println("took", time.Since(t0))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range r.Promises {
		fmt.Println(p.Name, p.Says, p.Band.Text(quantity.US, quantity.Locale{}), p.Working)
	}
	for _, f := range r.Findings {
		fmt.Println(f.State, f.About, f.Says)
		for _, b := range f.Because {
			fmt.Println("     ", b)
		}
	}
	for _, x := range r.Resin.Changes {
		fmt.Println(x.Name, x.Days.Text(quantity.SI, quantity.Locale{}), x.Times)
	}
	for _, x := range r.Costs {
		fmt.Println(x.Name, x.Amount.Text(quantity.SI, quantity.Locale{}))
	}
	fmt.Println(r.Drain, r.Looks)
}
