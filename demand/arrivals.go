package demand

import (
	"math"
	"math/rand/v2"
)

// crowd is one group's customers: those to come, those in its places and those
// who wait.
type crowd struct {
	source *rand.PCG
	random *rand.Rand // of source
	kinds  []kind
	upTo   []float64 // cumulative shares of the kinds

	days    []float64 // vehicles expected, by day
	shares  [24]float64
	regular bool

	next    float64 // when the next vehicle comes, within the hour
	toGo    float64 // expected vehicles until then
	from    float64 // toGo was true then
	rate    float64 // 1/s, of this hour
	perRate float64
	expects int     // regular vehicles still to come this hour
	owed    float64 // part of a regular vehicle carried on

	free []int32 // places not taken
	// queue is a ring of vehicles that wait.
	queue        []visit
	head, queued int
}

// kind is a Vend in SI numbers.
type kind struct {
	length, draws, flow float64
	spread              Spread
	within              float64
}

// stream keeps a seed of this package apart from the same seed used elsewhere;
// groupSeed keeps a site's groups apart.
const (
	stream    = 0x7269_6e73_6564_656d
	dayStream = 0x6461_7966_6163_746f
	groupSeed = 0x9e37_79b9_7f4a_7c15
)

func newCrowd(g Group, days []float64, seed uint64) crowd {
	source := rand.NewPCG(seed, stream)
	c := crowd{
		source: source, random: rand.New(source), days: days, shares: hourShares(g.Hours), regular: g.Regular,
		queue: make([]visit, g.Waiting), free: make([]int32, 0, g.Outlets),
	}
	upTo := 0.0
	for i, share := range vendShares(g.Vends) {
		v := g.Vends[i]
		upTo += share
		c.upTo = append(c.upTo, upTo)
		c.kinds = append(c.kinds, kind{
			float64(v.Length), float64(v.SpotFree) * float64(v.Length),
			float64(v.Flow), v.Spread, float64(v.Within),
		})
	}
	c.toGo = c.exponential()
	return c
}

// startHour sets the rate of an hour and when its first vehicle comes.
func (c *crowd) startHour(day, h int, factor float64) {
	expected := c.days[day] * c.shares[h]
	c.from, c.next, c.rate = 0, math.Inf(1), 0
	if c.regular {
		c.owed += expected
		whole := math.Floor(c.owed + 1e-9)
		c.owed -= whole
		c.expects = int(whole)
		c.another(0)
		return
	}
	c.rate = expected * factor / hour
	if c.rate > 1e-15 { // one vehicle in ten million years
		c.perRate = 1 / c.rate
		c.next = c.toGo * c.perRate
	}
}

// another sets when the next of the hour's regular vehicles comes: the least of
// those that are left, each at any time up to the hour's end.
func (c *crowd) another(now float64) {
	c.next = math.Inf(1)
	if c.expects > 0 {
		c.next = now + (hour-now)*(1-math.Pow(1-c.uniform(), 1/float64(c.expects)))
		c.expects--
	}
}

// endHour keeps what is left of the wait for the next vehicle.
func (c *crowd) endHour() {
	if !c.regular {
		c.toGo = max(c.toGo-c.rate*(hour-c.from), 0)
	}
}

func (c *crowd) rebase() {
	if c.queued > 0 {
		for i := range c.queue {
			c.queue[i].came -= hour
		}
	}
}

// nextVehicle draws the vehicle that arrives now, and the wait for the one after.
func (c *crowd) nextVehicle(v *visit, now float64) {
	if c.regular {
		c.another(now)
	} else {
		c.toGo = c.exponential()
		c.from, c.next = now, now+c.toGo*c.perRate
	}
	k := 0
	if len(c.kinds) > 1 {
		u := c.uniform()
		for k < len(c.kinds)-1 && u >= c.upTo[k] {
			k++
		}
	}
	c.draw(v, &c.kinds[k])
}

// draw sets v to one customer's vend of a kind.
func (c *crowd) draw(v *visit, k *kind) {
	v.length, v.draws, v.flow = k.length, k.draws, k.flow
	v.drawing, v.dry, v.short = false, false, false
	factor := 1.0
	switch k.spread {
	case Fixed:
		return
	case Uniform:
		factor = 1 + k.within*(2*c.uniform()-1)
	case Exponential:
		factor = c.exponential()
	}
	v.length *= factor
	v.draws *= factor
}

// uniform returns a number from 0 up to 1, as rand.Float64 does.
func (c *crowd) uniform() float64 { return float64(c.source.Uint64()<<11>>11) / (1 << 53) }

// exponential returns a number with mean 1.
func (c *crowd) exponential() float64 { return c.random.ExpFloat64() }

// dayFactors are how much busier or quieter than expected each day is, which
// weather and chance events make the same for everyone who comes.
type dayFactors struct {
	random *rand.Rand // nil where all days are as expected
	sigma  float64
}

func newDayFactors(dayToDay float64, seed uint64) dayFactors {
	if dayToDay == 0 {
		return dayFactors{}
	}
	return dayFactors{rand.New(rand.NewPCG(seed, dayStream)), math.Sqrt(math.Log1p(dayToDay * dayToDay))}
}

// next draws the factor of a day: lognormal with mean 1.
func (d *dayFactors) next() float64 {
	if d.random == nil {
		return 1
	}
	return math.Exp(d.sigma*d.random.NormFloat64() - d.sigma*d.sigma/2)
}
