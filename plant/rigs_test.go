package plant

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"sort"
	"sync"
	"testing"

	"rinsewright/hydraulics"
	"rinsewright/membrane"
	"rinsewright/quantity"
	"rinsewright/water"
)

// What hangs on walls, drawn at random: generic sizes with the data that their
// sheets usually state, waters from soft to brackish, wear from none to ruin.
// Every number here is invented; only that each rig ends with an answer that
// closes, or a reason, is claimed.

// trust is the environment variable that asks for a million rigs.
const trust = "RINSEWRIGHT_TRUST"

type draw struct{ *rand.Rand }

func (d draw) between(low, high float64) float64 { return low + (high-low)*d.Float64() }

// decades draws evenly on a logarithm.
func (d draw) decades(low, high float64) float64 { return low * math.Pow(high/low, d.Float64()) }

func (d draw) chance(p float64) bool { return d.Float64() < p }

func catalogue(t testing.TB) (all []membrane.Element) {
	t.Helper()
	for _, s := range []membrane.Sheet{
		{Name: "tap 2540", Area: 2.6, PermeateFlow: quantity.GallonsPerDay(750), Rejection: 0.99, TestPressure: quantity.PSI(100), TestSalt: 0.5},
		{Name: "tap 4040", Area: 7.9, PermeateFlow: quantity.GallonsPerDay(2400), Rejection: 0.99, TestPressure: quantity.PSI(100), TestSalt: 0.5},
		{Name: "tap 4021", Area: 3.3, PermeateFlow: quantity.GallonsPerDay(1000), Rejection: 0.985, TestPressure: quantity.PSI(100), TestSalt: 0.5, Length: 0.46},
		{Name: "brackish 2540", Area: 2.6, PermeateFlow: quantity.GallonsPerDay(800), Rejection: 0.994, TestPressure: quantity.PSI(225), TestSalt: 2},
		{Name: "brackish 4040", Area: 7.2, PermeateFlow: quantity.GallonsPerDay(2400), Rejection: 0.996, TestPressure: quantity.PSI(225), TestSalt: 2},
		{Name: "under-sink", Area: 0.4, PermeateFlow: quantity.GallonsPerDay(75), Rejection: 0.96, TestPressure: quantity.PSI(60), TestSalt: 0.25, Length: 0.25},
		{Name: "loose 4040", Area: 7.9, PermeateFlow: quantity.GallonsPerDay(2500), Rejection: 0.97, TestPressure: quantity.PSI(60), TestSalt: 0.5},
	} {
		e, _, err := membrane.FromSheet(s)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, e)
	}
	return all
}

func (d draw) wear() membrane.Wear {
	w := membrane.New()
	if d.chance(0.4) {
		return w
	}
	w.WaterPermeability, w.SaltPermeability = d.decades(0.15, 1.8), d.decades(0.8, 20)
	w.Drop = d.decades(0.9, 8)
	if d.chance(0.2) {
		w.Bypass = quantity.Ratio(d.between(0, 0.05))
	}
	if d.chance(0.2) {
		w.ScaledTail = quantity.Ratio(d.between(0, 1))
	}
	return w
}

func (d draw) train(all []membrane.Element, most int) membrane.Train {
	t := membrane.Train{Parallel: 1 + d.IntN(3)}
	e := all[d.IntN(len(all))]
	for range 1 + d.IntN(most) {
		if d.chance(0.2) {
			e = all[d.IntN(len(all))]
		}
		t.Housings = append(t.Housings, membrane.Housing{Element: e, Wear: d.wear()})
	}
	return t
}

func (d draw) water(t testing.TB) water.Water {
	t.Helper()
	w := water.Water{Temperature: quantity.Celsius(d.between(1, 40))}
	strong := d.decades(0.05, 30) // mol/m3 of the main ions
	for _, c := range []water.Component{water.Calcium, water.Magnesium, water.Sodium, water.Potassium, water.Chloride, water.Sulphate, water.Nitrate} {
		if d.chance(0.9) {
			w.Total[c] = quantity.MolarConc(strong * d.decades(0.01, 0.5))
		}
	}
	w.Total[water.Silica] = quantity.MolarConc(d.decades(0.02, 1))
	for _, c := range []water.Component{water.Boron, water.Fluoride, water.Strontium, water.Barium, water.Iron, water.Ammonia} {
		if d.chance(0.3) {
			w.Total[c] = quantity.MolarConc(d.decades(1e-4, 2e-2))
		}
	}
	alkalinity := strong * d.between(0.05, 0.6)
	w.Total[water.Sodium] += quantity.MolarConc(max(0, alkalinity-float64(water.ElectroneutralAlkalinity(w))))
	if extra := float64(water.ElectroneutralAlkalinity(w)) - alkalinity; extra > 0 {
		w.Total[water.Chloride] += quantity.MolarConc(extra)
	}
	w.Alkalinity = water.ElectroneutralAlkalinity(w)
	if d.chance(0.1) {
		w.Alkalinity *= quantity.EquivConc(d.between(0.97, 1.03)) // an analysis that does not quite balance
	}
	for pH := d.between(5.8, 9); ; pH -= 0.5 { // little alkalinity holds no high pH
		if found, _, err := water.WithPH(w, pH); err == nil {
			return found
		} else if pH < 5 {
			t.Error(err)
			return w
		}
	}
}

func (d draw) pump(lowBar, highBar, lowFlow, highFlow float64) hydraulics.Supply {
	duty := hydraulics.PumpPoint{Flow: quantity.LitresPerMinute(d.decades(lowFlow, highFlow)), Pressure: quantity.Bar(d.decades(lowBar, highBar))}
	curve, err := hydraulics.DutyPump(duty.Pressure*quantity.Pressure(d.between(1.05, 1.6)), duty)
	if err != nil {
		panic(err) // in a test of invented pumps
	}
	return curve
}

func (d draw) supply() hydraulics.Supply {
	switch d.IntN(4) {
	case 0:
		return hydraulics.CityCurve{Static: quantity.PSI(d.between(15, 110))}
	case 1:
		curve := d.pump(3, 8, 10, 60).(hydraulics.PumpCurve)
		low := d.between(1.5, 3.5)
		return hydraulics.WellPump{Curve: curve, CutIn: quantity.Bar(low), CutOut: quantity.Bar(low + 1.4)}
	case 2:
		return d.pump(2, 12, 5, 60)
	}
	static := d.between(15, 110)
	return hydraulics.CityCurve{Static: quantity.PSI(static), RunningPressure: quantity.PSI(static * d.between(0.2, 0.98)), RunningFlow: quantity.GallonsPerMinute(d.decades(1, 15))}
}

func (d draw) filter(flow float64) hydraulics.Filter {
	return hydraulics.Filter{
		CleanDrop: quantity.PSI(d.between(0.3, 3)), RatedFlow: quantity.LitresPerMinute(flow),
		ChangeDrop: quantity.PSI(d.between(8, 25)), Loading: quantity.Ratio(d.between(0, 1.5)),
	}
}

func (d draw) tube() hydraulics.Resistance {
	tubes := hydraulics.Tubes()
	return tubes[d.IntN(len(tubes))].Pipe(quantity.Metres(d.decades(0.3, 30)))
}

// restrictor is one of the kinds, about right for a flow in L/min at 4 bar, or
// quite wrong.
func (d draw) restrictor(flow float64) hydraulics.Resistance {
	flow *= d.decades(0.1, 5)
	if d.chance(0.05) {
		flow *= d.decades(1e-3, 100) // blocked, or missing
	}
	drop, fluid := quantity.Bar(4), hydraulics.Fluid{Density: 999, Viscosity: 1.1e-3}
	k, err := hydraulics.CoefficientOf(quantity.LitresPerMinute(flow), drop, fluid)
	if err != nil {
		panic(err)
	}
	switch d.IntN(4) {
	case 0:
		return k
	case 1:
		area := float64(k) / hydraulics.SharpOrificeCd / math.Sqrt(2.0/999.016)
		return hydraulics.Orifice{Bore: max(quantity.Length(math.Sqrt(4*area/math.Pi)), 1e-5), Cd: hydraulics.SharpOrificeCd}
	case 2:
		c, err := hydraulics.CapillaryFor(quantity.Millimetres(d.decades(0.4, 2)*math.Sqrt(flow)), quantity.LitresPerMinute(flow), drop, fluid)
		if err == nil && c.Length < 100 {
			return c
		}
	}
	return hydraulics.RatedRestrictor{Rated: quantity.LitresPerMinute(flow), At: drop}
}

// rig draws a whole plant and what it works under.
func (d draw) rig(t testing.TB, all []membrane.Element) (Plant, Conditions) {
	p := Plant{Supply: d.supply(), Train: d.train(all, 5), Lift: quantity.Metres(d.between(-2, 8))}
	rows := float64(p.Train.Parallel)
	area := float64(p.Train.Housings[0].Element.Sheet.Area)
	makes := rows * area * d.between(0.2, 0.6) // L/min, about
	for range d.IntN(4) {
		p.FeedSide = append(p.FeedSide, Part{"filter", d.filter(3 * makes * d.decades(0.3, 3))})
	}
	if d.chance(0.3) {
		p.FeedSide = append(p.FeedSide, Part{"feed tube", d.tube()})
	}
	if d.chance(0.4) {
		p.Booster = d.pump(2, 14, max(makes, 1), 6*makes+1)
	}
	if d.chance(0.15) {
		p.Beside = append(p.Beside, d.train(all, 4))
		makes *= 1.7
	}
	if d.chance(0.15) {
		p.Tail = append(p.Tail, membrane.Stage{d.train(all, 3)})
		makes *= 1.4
	}
	p.Restrictor = d.restrictor(makes)
	if p.Booster != nil && d.chance(0.4) || d.chance(0.02) {
		p.Recycle = d.restrictor(makes * d.decades(0.5, 8))
	}
	if d.chance(0.15) {
		p.Second = &Pass{Array: membrane.Array{{d.train(all, 3)}}, Restrictor: d.restrictor(makes / 2)}
		if d.chance(0.7) {
			p.Second.Pump = d.pump(2, 10, max(makes/2, 0.5), 3*makes+0.5)
		}
	}
	d.permeateSide(&p, makes)
	c := Conditions{Feed: d.water(t)}
	if d.chance(0.3) {
		c.TankPressure = quantity.PSI(d.between(0, 60))
	}
	return p, c
}

func (d draw) permeateSide(p *Plant, makes float64) {
	if d.chance(0.4) {
		p.PermeateOut = append(p.PermeateOut, Part{"check valve", hydraulics.CheckValve{Cracking: quantity.PSI(d.between(0, 1.5)), Open: hydraulics.Cv(d.decades(0.1, 3))}})
	}
	if d.chance(0.4) {
		p.PermeateOut = append(p.PermeateOut, Part{"resin", d.filter(2 * makes)})
	}
	if d.chance(0.6) {
		p.PermeateOut = append(p.PermeateOut, Part{"permeate tube", d.tube()})
	}
	if d.chance(0.15) { // a float valve nearly shut
		p.PermeateOut = append(p.PermeateOut, Part{"float valve", hydraulics.Kv(d.decades(1e-4, 0.5))})
	}
}

// reasons are the refusals that say what can't be.
var reasons = []error{
	membrane.ErrNoFlow, membrane.ErrStarved, ErrSuction, ErrRecycle, membrane.ErrRange, water.ErrRange, hydraulics.ErrRange, ErrIncomplete,
	hydraulics.ErrNoFlow, hydraulics.ErrCurve, ErrUnsettled,
}

func reasonOf(err error) string {
	for _, r := range reasons {
		if errors.Is(err, r) {
			return r.Error()
		}
	}
	return ""
}

// closes says what of a point's balances does not hold.
func closes(p *Point) error {
	in, out := float64(p.Fresh.Flow), float64(p.Product().Flow+p.ToDrain())
	if !(math.Abs(in-out) <= 1e-9*in) {
		return fmt.Errorf("water: %.12g enters, %.12g leaves", in, out)
	}
	for c, x := range p.Fresh.Water.Total {
		enters := float64(x) * in
		product := p.Product()
		leaves := float64(product.Water.Total[c])*float64(product.Flow) + float64(p.Drain.Water.Total[c])*float64(p.Drain.Flow)
		if p.Second != nil {
			leaves += float64(p.Second.Concentrate.Water.Total[c]) * float64(p.Second.Concentrate.Flow)
		}
		if !(math.Abs(enters-leaves) <= 1e-9*enters+1e-22) {
			return fmt.Errorf("%v: %.12g enters, %.12g leaves", water.Component(c), enters, leaves)
		}
	}
	for what, x := range map[string]float64{"tap": float64(p.Tap), "feed": float64(p.Feed.Pressure), "recovery": float64(p.Recovery()), "permeate": float64(p.Membrane.Permeate.Flow)} {
		if math.IsNaN(x) || math.IsInf(x, 0) || (what == "recovery" || what == "permeate") && !(x > 0) {
			return fmt.Errorf("%s is %g", what, x)
		}
	}
	return nil
}

// agrees says what of a point's pressures does not hold.
func agrees(p *Plant, pt *Point, c Conditions) error {
	density, _ := water.Density(c.Feed.Temperature)
	viscosity, _ := water.Viscosity(c.Feed.Temperature)
	fluid := hydraulics.Fluid{Density: density, Viscosity: viscosity}
	loss, err := p.Restrictor.Loss(pt.Drain.Flow, fluid)
	if err != nil {
		return err
	}
	have := pt.Membrane.Concentrate.Pressure
	if !(math.Abs(float64(loss-have)) <= 2e-4*float64(pt.Feed.Pressure)+50) {
		return fmt.Errorf("restrictor takes %.6g Pa of %.6g", float64(loss), float64(have))
	}
	return nil
}

type tally struct {
	sync.Mutex
	done      int
	ends      map[string]int
	unsettled int
	times     map[string][]float64 // µs of one processor
	worst     map[string]float64
	slowest   map[string]uint64 // the rig that took longest
	bad       []string
}

// kindOf is plain for what hangs on nearly every wall.
func kindOf(p *Plant) string {
	if p.Second != nil || len(p.Beside) > 0 {
		return "second pass or unlike rows"
	}
	if p.Recycle != nil {
		return "recycle"
	}
	return "plain"
}

func (y *tally) judge(t testing.TB, seed uint64, all []membrane.Element) {
	d := draw{rand.New(rand.NewPCG(seed, 6))}
	p, c := d.rig(t, all)
	begin := threadTime()
	point, err := p.Operate(c)
	took := (threadTime() - begin).Seconds() * 1e6
	end := "answer"
	var wrong error
	switch {
	case err != nil:
		var hinting interface{ Hint() string }
		if end = reasonOf(err); end == "" {
			wrong = err
		} else if !errors.As(err, &hinting) && end != water.ErrRange.Error() {
			wrong = fmt.Errorf("names nothing to change: %w", err)
		}
	default:
		if wrong = closes(&point); wrong == nil {
			wrong = agrees(&p, &point, c)
		}
	}
	y.Lock()
	defer y.Unlock()
	kind := kindOf(&p)
	y.done++
	y.ends[end]++
	if errors.Is(err, ErrUnsettled) {
		y.unsettled++
	}
	if took > y.worst[kind] {
		y.worst[kind], y.slowest[kind] = took, seed
	}
	y.times[kind] = append(y.times[kind], took)
	if wrong != nil {
		y.bad = append(y.bad, fmt.Sprintf("rig %d: %v", seed, wrong))
	}
}

// tell prints what came out, for the page on trust.
func (y *tally) tell(t testing.TB) {
	t.Logf("%d rigs, seeds 0 to %d", y.done, y.done-1)
	for _, end := range slices.Sorted(maps.Keys(y.ends)) {
		t.Logf("  %7d %s", y.ends[end], end)
	}
	for _, kind := range slices.Sorted(maps.Keys(y.times)) {
		times := y.times[kind]
		sort.Float64s(times)
		late := len(times) - sort.SearchFloat64s(times, 5000)
		t.Logf("%s: %d, median %.0f µs, 99 %% under %.0f µs, worst %.0f µs (rig %d), of processor time; %d over 5 ms",
			kind, len(times), times[len(times)/2], times[len(times)*99/100], times[len(times)-1], y.slowest[kind], late)
	}
}

// Any rig of parts that are sold ends with an answer that closes, or says why
// not and what to change. make trust draws a million.
func TestAnyRigSettlesOrSaysWhy(t *testing.T) {
	rigs := 10_000
	if os.Getenv(trust) != "" {
		rigs = 1_000_000
	}
	y := tally{ends: map[string]int{}, times: map[string][]float64{}, worst: map[string]float64{}, slowest: map[string]uint64{}}
	all := catalogue(t)
	var wait sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		wait.Go(func() {
			runtime.LockOSThread() // whose time is told
			defer runtime.UnlockOSThread()
			for i := w; i < rigs; i += workers {
				y.judge(t, uint64(i), all)
			}
		})
	}
	wait.Wait()
	y.tell(t)
	if y.unsettled > rigs/1000 {
		t.Errorf("%d of %d rigs found no steady state, want at most one in a thousand", y.unsettled, rigs)
	}
	if y.ends["answer"] < 7*rigs/10 {
		t.Errorf("only %d of %d rigs have an answer", y.ends["answer"], rigs)
	}
	for i, b := range y.bad {
		if i == 20 {
			t.Errorf("and %d more", len(y.bad)-i)
			break
		}
		t.Error(b)
	}
}
