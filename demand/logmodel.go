package demand

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"

	"rinsewright/quantity"
)

// model is the fitted logarithm of a day's expected vends: seven weekdays,
// twelve months, one trend.
type model struct {
	b          [parameters]float64
	covariance *mat.SymDense
	weekday    [7]bool  // open at all
	month      [12]bool // in the log, and open
	seen       [12]bool // in the log
	dispersion float64  // Pearson's
	robust     float64  // the same by the median, which single days do not move
	dayToDay   float64  // coefficient of variation, a ratio
	used       int
	vends      float64
}

const (
	parameters = 7 + 12 + 1
	atMonth    = 7
	atTrend    = 19

	monthPrecision   = 1 / (1.0 * 1.0) // of the logarithm
	trendPrecision   = 1 / (0.3 * 0.3) // 1/(1/year)²
	weekdayPrecision = 1e-9
	mostNewton       = 60
)

// parts returns the parameters that a day adds up, and what the trend's is
// multiplied by.
func (d datedDay) parts() (weekday, month int, years float64) {
	return int(d.date.Weekday()), atMonth + int(d.date.Month()) - 1, d.years
}

// mean returns the vends that the model expects on a day.
func (m *model) mean(d datedDay) float64 {
	w, month, years := d.parts()
	if !m.weekday[w] || !m.month[month-atMonth] {
		return 0
	}
	return math.Exp(min(m.b[w]+m.b[month]+m.b[atTrend]*years, 50))
}

// fitModel fits the days that are not left out, by Newton's method on the
// penalised likelihood, which is concave.
func fitModel(days []datedDay) (model, error) {
	m := model{}
	m.see(days)
	if m.used < leastLoggedFor/2 || m.vends == 0 {
		return m, fmt.Errorf("%d days with %g vends are left of the log: %w", m.used, m.vends, ErrNoDemand)
	}
	start := math.Log(m.vends / float64(m.used))
	for w := range 7 {
		m.b[w] = start
	}
	for range mostNewton {
		moved, err := m.step(days)
		if err != nil {
			return m, err
		}
		if moved < 1e-10 {
			m.spread(days)
			return m, nil
		}
	}
	return m, fmt.Errorf("fit of weekdays and months did not settle: %w", ErrRange)
}

// see notes which weekdays and months have vends at all.
func (m *model) see(days []datedDay) {
	for _, d := range days {
		w, month, _ := d.parts()
		m.seen[month-atMonth] = true
		if d.out {
			continue
		}
		m.used++
		m.vends += d.vends
		if d.vends > 0 {
			m.weekday[w], m.month[month-atMonth] = true, true
		}
	}
}

// step makes one Newton step, halved while it does not raise the likelihood,
// and returns how far it went.
func (m *model) step(days []datedDay) (float64, error) {
	gradient, information := m.score(days)
	var chol mat.Cholesky
	if !chol.Factorize(information) {
		return 0, fmt.Errorf("weekdays and months can't be told apart: %w", ErrRange)
	}
	var move mat.VecDense
	if err := chol.SolveVecTo(&move, gradient); err != nil {
		return 0, fmt.Errorf("weekdays and months can't be told apart: %w", ErrRange)
	}
	before, from := m.likelihood(days), m.b
	for part := 1.0; part > 1e-6; part /= 2 {
		far := 0.0
		for i := range m.b {
			m.b[i] = from[i] + part*move.AtVec(i)
			far = max(far, math.Abs(m.b[i]-from[i]))
		}
		if m.likelihood(days) >= before-1e-9*math.Abs(before) {
			m.covariance = mat.NewSymDense(parameters, nil)
			return far, chol.InverseTo(m.covariance)
		}
	}
	m.b = from
	return 0, nil
}

// precision returns the prior's of a parameter.
func precision(i int) float64 {
	switch {
	case i == atTrend:
		return trendPrecision
	case i >= atMonth:
		return monthPrecision
	}
	return weekdayPrecision
}

// score returns the gradient and the information of the penalised likelihood.
func (m *model) score(days []datedDay) (*mat.VecDense, *mat.SymDense) {
	g, h := mat.NewVecDense(parameters, nil), mat.NewSymDense(parameters, nil)
	for i := range parameters {
		g.SetVec(i, -precision(i)*m.b[i])
		h.SetSym(i, i, precision(i))
	}
	for w := range 7 { // weekdays have no prior to speak of
		g.SetVec(w, 0)
	}
	for _, d := range days {
		mu := m.mean(d)
		if d.out || mu == 0 {
			continue
		}
		w, month, years := d.parts()
		at, by := [3]int{w, month, atTrend}, [3]float64{1, 1, years}
		for i := range at {
			g.SetVec(at[i], g.AtVec(at[i])+(d.vends-mu)*by[i])
			for j := i; j < 3; j++ {
				h.SetSym(at[i], at[j], h.At(at[i], at[j])+mu*by[i]*by[j])
			}
		}
	}
	return g, h
}

func (m *model) likelihood(days []datedDay) float64 {
	sum := 0.0
	for i := atMonth; i < parameters; i++ {
		sum -= precision(i) * m.b[i] * m.b[i] / 2
	}
	for _, d := range days {
		if mu := m.mean(d); !d.out && mu > 0 {
			sum += d.vends*math.Log(mu) - mu
		}
	}
	return sum
}

// spread works out how much more the days differ than arrivals at random do.
func (m *model) spread(days []datedDay) {
	var squares []float64
	sum, extra, mean2 := 0.0, 0.0, 0.0
	for _, d := range days {
		mu := m.mean(d)
		if d.out || !(mu > 1e-3) {
			continue
		}
		r := (d.vends - mu) * (d.vends - mu)
		squares = append(squares, r/mu)
		sum += r / mu
		extra += r - mu
		mean2 += mu * mu
	}
	free := 1 // degrees used up
	for _, open := range append(m.weekday[:], m.month[:]...) {
		if open {
			free++
		}
	}
	slices.Sort(squares)
	n := float64(max(len(squares)-free, 1))
	m.dispersion = max(sum/n, 1)
	m.robust = 1
	if len(squares) > 0 {
		const medianOfSquare = 0.4549 // of a standard normal squared
		m.robust = max(squares[len(squares)/2]/medianOfSquare, 1)
	}
	if mean2 > 0 {
		m.dayToDay = math.Sqrt(max(extra, 0) / mean2)
	}
}

// effect returns exp of a sum of parameters with its 95 % interval.
func (m *model) effect(c [parameters]float64) Effect {
	at, square := 0.0, 0.0
	for i := range c {
		at += c[i] * m.b[i]
		for j := range c {
			square += c[i] * c[j] * m.covariance.At(i, j)
		}
	}
	half := 1.959964 * math.Sqrt(max(square, 0)*m.dispersion)
	return Effect{math.Exp(at), math.Exp(at - half), math.Exp(min(at+half, 50)), true}
}

func (e Effect) times(by float64) Effect {
	return Effect{e.Factor * by, e.Low * by, e.High * by, e.Known}
}

// tell writes the model into the fit and its profile: months about a mean of 1,
// weekdays at the level of the log's end.
func (f *LogFit) tell(m model, days []datedDay) {
	open := 0.0
	for _, is := range m.month {
		if is {
			open++
		}
	}
	var unseen []time.Month
	sum := 0.0
	for i := range m.month {
		switch {
		case m.month[i]:
			var c [parameters]float64
			for j, is := range m.month {
				if is {
					c[atMonth+j] = -1 / open
				}
			}
			c[atMonth+i]++
			f.Month[i] = m.effect(c)
			sum += f.Month[i].Factor
		case m.seen[i]:
			f.Month[i] = Effect{Known: true} // shut
		default:
			unseen = append(unseen, time.Month(i+1))
		}
	}
	mean := sum / open
	for i := range m.month {
		f.Month[i] = f.Month[i].times(1 / mean)
		if !f.Month[i].Known {
			f.Month[i] = Effect{Factor: 1, Low: 1, High: 1}
		}
		f.Profile.Month[i] = f.Month[i].Factor
	}
	f.weekdays(m, mean, open)
	f.Trend = m.effect([parameters]float64{atTrend: 1})
	f.Dispersion = m.dispersion
	f.Profile.DayToDay = quantity.Ratio(min(m.dayToDay, 2))
	f.Days, f.Vends = m.used, int(m.vends)
	f.supposed(unseen, m)
	f.Profile.Surge = append(slices.Clone(f.Profile.Surge), surgesOf(f.Surges)...)
}

func (f *LogFit) weekdays(m model, mean, open float64) {
	for w := range m.weekday {
		f.Weekday[w] = Effect{Known: true}
		if m.weekday[w] {
			var c [parameters]float64
			c[w] = 1
			for j, is := range m.month {
				if is {
					c[atMonth+j] = 1 / open
				}
			}
			f.Weekday[w] = m.effect(c).times(mean)
		}
		f.Profile.Weekday[w] = min(f.Weekday[w].Factor, 1e6)
	}
}

// supposed lists what the log did not say.
func (f *LogFit) supposed(unseen []time.Month, m model) {
	f.Assumed = slices.DeleteFunc(f.Assumed, func(s string) bool { return len(s) > 6 && s[:6] == "months" })
	if len(unseen) > 0 {
		f.Assumed = append(f.Assumed, fmt.Sprintf("months not in the log, as the mean of those in it: %v", unseen))
	}
	var shut []time.Month
	for i := range m.month {
		if m.seen[i] && !m.month[i] {
			shut = append(shut, time.Month(i+1))
		}
	}
	if len(shut) > 0 {
		f.Assumed = append(f.Assumed, fmt.Sprintf("months in the log without a vend, taken as shut: %v", shut))
	}
	for _, g := range f.Gaps {
		f.Assumed = append(f.Assumed, fmt.Sprintf("no vends from %s to %s, where about %.0f were expected: taken as a gap in the log",
			g.First.Format(time.DateOnly), g.Last.Format(time.DateOnly), g.Missed))
	}
}

func surgesOf(found []LogSurge) (surges []Surge) {
	for _, s := range found {
		surges = append(surges, Surge{Day: s.Day, Factor: min(s.Factor.Factor, 100)})
	}
	return surges
}
