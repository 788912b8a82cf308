package demand

import (
	"fmt"
	"math"

	"rinsewright/quantity"
)

// load returns λ E[S] / r for lumps that come every so often, after checking
// that all are positive.
func load(every quantity.Time, lump quantity.Volume, makeUp quantity.Flow) (float64, error) {
	err := firstError(
		within("time between vends in s", float64(every), 1e-9, 1e12),
		within("water per vend in m³", float64(lump), 1e-12, 1e6),
		within("make-up in m³/s", float64(makeUp), 1e-15, 1e6),
	)
	return float64(lump) / (float64(every) * float64(makeUp)), err
}

// stable returns a load that the make-up can carry.
func stable(every quantity.Time, lump quantity.Volume, makeUp quantity.Flow) (float64, error) {
	rho, err := load(every, lump, makeUp)
	if err == nil && !(rho < 1) {
		err = fmt.Errorf("vends ask for %.4g times the make-up: %w", rho, ErrRange)
	}
	return rho, err
}

// DeficitExponential returns the share of time that a tank which may borrow
// without limit is more than x below full, when vends come at random, on
// average every so often, and draw exponential lumps of a mean:
//
//	P(D > x) = ρ exp(-(1-ρ) x/m), ρ = m / (T r)
//
// Source: [Tripos2004], workload of M/M/1. A tank that stops its pump when empty
// loses demand and so is short less often: an upper bound on running dry at
// x = usable volume. Exact. The error wraps [ErrRange] unless ρ < 1 and x ≥ 0.
func DeficitExponential(every quantity.Time, mean quantity.Volume, makeUp quantity.Flow, x quantity.Volume) (quantity.Ratio, error) {
	rho, err := stable(every, mean, makeUp)
	if err = firstError(err, within("deficit in m³", float64(x), 0, math.MaxFloat64)); err != nil {
		return 0, fmt.Errorf("deficit of exponential lumps: %w", err)
	}
	return quantity.Ratio(rho * math.Exp(-(1-rho)*float64(x)/float64(mean))), nil
}

// DeficitConstant returns the share of time that a tank which may borrow
// without limit is more than x below full, when vends come at random and every
// one draws the same lump D. For (k-1) D ≤ x < k D, with Q(m) the chance that
// at most m wait behind the one in service of the M/D/1 queue:
//
//	P(D > x) = 1 - e^(-u) Σ_{j=0}^{k-1} Q(k-1-j) u^j / j!, u = ρ (k - x/D)
//
// Source: [Franx2001], whose terms are all positive, with the queue by
// [Ramaswami1988]; the textbook's alternating series cancels at large x.
// Absolute error below 1e-12. The error wraps [ErrRange] unless ρ ≤ 0.999 and
// 0 ≤ x ≤ 2000 D.
func DeficitConstant(every quantity.Time, lump quantity.Volume, makeUp quantity.Flow, x quantity.Volume) (quantity.Ratio, error) {
	rho, err := stable(every, lump, makeUp)
	lumps := float64(x) / float64(lump)
	if err = firstError(err, within("load", rho, 0, 0.999), within("deficit in lumps", lumps, 0, 2000)); err != nil {
		return 0, fmt.Errorf("deficit of constant lumps: %w", err)
	}
	k := int(lumps) + 1
	inSystem := constantQueue(rho, k+1)
	waiting := make([]float64, k) // Q(m) = P(at most m+1 in the system)
	sum := inSystem[0]
	for m := range waiting {
		sum += inSystem[m+1]
		waiting[m] = sum
	}
	u := rho * (float64(k) - lumps)
	term, total := math.Exp(-u), 0.0
	for j := range k {
		total += waiting[k-1-j] * term
		term *= u / float64(j+1)
	}
	return quantity.Ratio(min(max(1-total, 0), 1)), nil
}

// constantQueue returns the chances of 0..n in an M/D/1 system at load rho, by
// Ramaswami's recursion over the tails of the Poisson arrivals in one service.
func constantQueue(rho float64, n int) []float64 {
	tail := poissonTails(rho, n+2) // tail[k] = P(arrivals ≥ k)
	p := make([]float64, n+1)
	p[0] = 1 - rho
	for j := 1; j <= n; j++ {
		sum := p[0] * tail[j]
		for i := 1; i < j; i++ {
			sum += p[i] * tail[j+1-i]
		}
		p[j] = sum / (1 - tail[1])
	}
	return p
}

// poissonTails returns P(N ≥ k) for k = 0..n, N Poisson of a mean.
func poissonTails(mean float64, n int) []float64 {
	const beyond = 40 // terms past n that still count, for means up to 1
	term := make([]float64, n+beyond)
	term[0] = math.Exp(-mean)
	for k := 1; k < len(term); k++ {
		term[k] = term[k-1] * mean / float64(k)
	}
	tail, sum := make([]float64, n+1), 0.0
	for k := len(term) - 1; k >= 0; k-- {
		sum += term[k]
		if k <= n {
			tail[k] = sum
		}
	}
	return tail
}

// MeanDeficit returns the mean volume that a tank which may borrow is below
// full, for lumps of a mean and a coefficient of variation v (0 constant, 1
// exponential):
//
//	E[D] = λ E[S²] / (2 r (1-ρ)) = ρ m (1 + v²) / (2 (1-ρ))
//
// Source: [PollaczekKhinchine]. Exact. The error wraps [ErrRange] unless ρ < 1
// and 0 ≤ v ≤ 1000.
func MeanDeficit(every quantity.Time, mean quantity.Volume, v quantity.Ratio, makeUp quantity.Flow) (quantity.Volume, error) {
	rho, err := stable(every, mean, makeUp)
	if err = firstError(err, within("coefficient of variation", float64(v), 0, 1000)); err != nil {
		return 0, fmt.Errorf("mean deficit: %w", err)
	}
	return quantity.Volume(rho * float64(mean) * (1 + float64(v*v)) / (2 * (1 - rho))), nil
}

// DeficitOnOff returns the share of time that a tank which may borrow is more
// than x below full, with one bay whose draws last exponentially long with mean
// on and whose pauses last exponentially long with mean off:
//
//	P(D > x) = ρ exp(-(β/(R-r) - α/r) x), α = 1/off, β = 1/on,
//	ρ = α R / ((α+β) r)
//
// Source: [AnickMitraSondhi1982] with one source. Exact. The error wraps
// [ErrRange] unless ρ < 1, draw R > make-up r and x ≥ 0.
func DeficitOnOff(on, off quantity.Time, draw, makeUp quantity.Flow, x quantity.Volume) (quantity.Ratio, error) {
	alpha, beta, r, c := 1/float64(off), 1/float64(on), float64(draw), float64(makeUp)
	rho := alpha * r / ((alpha + beta) * c)
	err := firstError(
		within("draw time in s", float64(on), 1e-9, 1e12),
		within("pause in s", float64(off), 1e-9, 1e12),
		within("make-up in m³/s", c, 1e-15, 1e6),
		within("draw in m³/s", r, c*(1+1e-12), 1e6),
		within("load", rho, 0, 1-1e-12),
		within("deficit in m³", float64(x), 0, math.MaxFloat64),
	)
	if err != nil {
		return 0, fmt.Errorf("deficit of one bay: %w", err)
	}
	return quantity.Ratio(rho * math.Exp(-(beta/(r-c)-alpha/c)*float64(x))), nil
}

// ErlangB returns the share of vehicles that find all of n bays taken and drive
// on, at an offered load of A erlangs (arrivals per vend length):
//
//	B(0) = 1, B(n) = A B(n-1) / (n + A B(n-1))
//
// Source: [Erlang1917]. Exact for any spread of vend lengths. The error wraps
// [ErrRange] unless 0 ≤ A ≤ 1e6 and 1 ≤ n ≤ 1e6.
func ErlangB(offered float64, n int) (quantity.Ratio, error) {
	if err := firstError(within("offered erlangs", offered, 0, 1e6), within("bays", float64(n), 1, 1e6)); err != nil {
		return 0, fmt.Errorf("erlang b: %w", err)
	}
	b := 1.0
	for k := 1; k <= n; k++ {
		b = offered * b / (float64(k) + offered*b)
	}
	return quantity.Ratio(b), nil
}

// ErlangC returns the share of vehicles that wait when none drives on:
//
//	C = B / (1 - (A/n) (1 - B))
//
// Source: [Erlang1917]. Exact for exponential vends; near for fixed ones. The
// error wraps [ErrRange] unless A < n, n ≤ 1e6.
func ErlangC(offered float64, n int) (quantity.Ratio, error) {
	b, err := ErlangB(offered, n)
	if err == nil && !(offered < float64(n)) {
		err = fmt.Errorf("%g erlangs on %d bays: the line grows without end: %w", offered, n, ErrRange)
	}
	if err != nil {
		return 0, fmt.Errorf("erlang c: %w", err)
	}
	return quantity.Ratio(float64(b) / (1 - offered/float64(n)*(1-float64(b)))), nil
}

// FillTime returns how long make-up takes to fill a volume with no draw:
//
//	t = V / r
//
// By definition. The error wraps [ErrRange] unless V ≥ 0 and r > 0.
func FillTime(v quantity.Volume, makeUp quantity.Flow) (quantity.Time, error) {
	err := firstError(within("volume in m³", float64(v), 0, 1e6), within("make-up in m³/s", float64(makeUp), 1e-12, 1e6))
	if err != nil {
		return 0, fmt.Errorf("fill time: %w", err)
	}
	return quantity.Time(float64(v) / float64(makeUp)), nil
}

// EmptyTime returns how long a volume lasts under a steady draw while make-up
// runs:
//
//	t = V / (q - r)
//
// By definition. The error wraps [ErrRange] unless V ≥ 0 and q > r ≥ 0: a draw
// that make-up covers never empties a tank.
func EmptyTime(v quantity.Volume, draw, makeUp quantity.Flow) (quantity.Time, error) {
	err := firstError(
		within("volume in m³", float64(v), 0, 1e6),
		within("make-up in m³/s", float64(makeUp), 0, 1e6),
		within("draw less make-up in m³/s", float64(draw-makeUp), 1e-12, 1e6),
	)
	if err != nil {
		return 0, fmt.Errorf("empty time: %w", err)
	}
	return quantity.Time(float64(v) / float64(draw-makeUp)), nil
}
