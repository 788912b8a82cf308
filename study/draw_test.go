package study

import (
	"context"
	"os"
	"testing"

	"rinsewright/internal/sitefile"
)

// BenchmarkTwoThousandDraws is the whole path under doubt for a site of about
// ten thousand vends a year: the goal is a second on two cores.
func BenchmarkTwoThousandDraws(b *testing.B) {
	data, err := os.ReadFile("../testdata/sites/fennel-lane/site.toml")
	if err != nil {
		b.Fatal(err)
	}
	s, err := sitefile.Read("site.toml", data)
	if err != nil {
		b.Fatal(err)
	}
	vends := 0.0
	for b.Loop() {
		looks, err := looksAt(context.Background(), s, Options{Seed: 1, Looks: 2000})
		if err != nil {
			b.Fatal(err)
		}
		vends = looks[0].demand.Vends
	}
	b.ReportMetric(vends, "vends/year")
}
