package demand

import (
	"math"
	"testing"
	"time"

	"rinsewright/quantity"
)

// A nil error means a share from 0 to 1 or a finite volume or time.
func FuzzExact(f *testing.F) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, 1e-300, 1e300} {
		f.Add(60.0, 0.01, x, 0.05, x, 4)
		f.Add(x, x, 1e-3, x, 0.5, -1)
	}
	f.Add(60.0, 0.01, 0.01/60/0.999, 15.0, 0.5, 4)
	f.Fuzz(func(t *testing.T, every, lump, makes, x, offered float64, n int) {
		T, V, Q, X := quantity.Time(every), quantity.Volume(lump), quantity.Flow(makes), quantity.Volume(x)
		share := func(r quantity.Ratio, err error) {
			if err == nil && !(0 <= r && r <= 1+1e-12) {
				t.Errorf("a share of %v", r)
			}
		}
		share(DeficitExponential(T, V, Q, X))
		share(DeficitConstant(T, V, Q, X))
		share(DeficitOnOff(T, quantity.Time(offered), quantity.Flow(lump), Q, X))
		if n <= 1000 {
			share(ErlangB(offered, n))
			share(ErlangC(offered, n))
		}
		finite := func(x float64, err error) {
			if err == nil && !(0 <= x && x <= math.MaxFloat64) {
				t.Errorf("%v is not finite", x)
			}
		}
		mean, err := MeanDeficit(T, V, quantity.Ratio(offered), Q)
		finite(float64(mean), err)
		fill, err := FillTime(V, Q)
		finite(float64(fill), err)
		empty, err := EmptyTime(V, quantity.Flow(offered), Q)
		finite(float64(empty), err)
	})
}

// A nil error means a profile that a year can be run on.
func FuzzLog(f *testing.F) {
	f.Add(int64(0), int64(86400), 40, 0.01)
	f.Add(int64(-62135596800), int64(7000), 200, math.NaN())
	f.Add(int64(math.MaxInt64), int64(math.MaxInt64), 30, 0.0)
	f.Add(int64(1), int64(-90000), 25, 1e-300)
	f.Fuzz(func(t *testing.T, first, gap int64, n int, litres float64) {
		log := make([]LoggedVend, max(0, min(n, 500)))
		for i := range log {
			log[i] = LoggedVend{At: time.Unix(first+int64(i)*gap, 0).UTC(), Litres: quantity.Volume(litres)}
		}
		p, _, err := FromLog(log, Answers{})
		if err != nil {
			return
		}
		d, err := p.Demand()
		if err != nil || !(0 < d.Vends && d.Vends <= math.MaxFloat64) {
			t.Fatalf("%+v, error %v", d, err)
		}
	})
}
