package study

import (
	"fmt"
	"strconv"

	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/water"
)

// Season is the year by month.
type Season struct {
	Months    [12]SeasonMonth // January first
	Throttled quantity.Flow   // what the throttled rig is held to: the least month's flow
}

// SeasonMonth is one month, run two ways: at the pressure that is there, and
// with a valve set so that the flow stays that of the coldest month.
type SeasonMonth struct {
	Temperature quantity.Temperature
	Feed        quantity.Conductivity // at 25 °C
	Free        SeasonPoint
	Held        SeasonPoint
}

// SeasonPoint is where the rig settles in a month.
type SeasonPoint struct {
	Flow     quantity.Flow // 0 when nothing is made
	Strength quantity.Conductivity
	Recovery quantity.Ratio
	First    string // the mineral nearest to scaling in the concentrate
	Index    float64
	Why      string // why nothing is made
}

// Margin is how far the concentrate is from the first scale, a dimensionless
// number of powers of ten: below zero, scale can form.
func (p SeasonPoint) Margin() float64 { return -p.Index }

// season runs the year. Feed strength follows the raw samples' own months where
// there are several, and else stays.
func (l *look) season(s *site.Site, n *notes) (out Season, err error) {
	cold, warm := l.coldAndWarm(s, n)
	feeds := [12]water.Water{}
	points := [12]plant.Point{}
	for m := range out.Months {
		at := &out.Months[m]
		at.Temperature = monthTemperature(m, coldestMonth(s), cold, warm)
		feeds[m] = strengthened(l.feed, l.monthStrength(s, m)).At(at.Temperature)
		if at.Feed, err = feeds[m].Conductivity25(); err != nil {
			return out, fmt.Errorf("feed: %w", err)
		}
		if points[m], at.Free, err = l.seasonPoint(feeds[m], 0); err != nil {
			return out, err
		}
		if made := at.Free.Flow; made > 0 && (out.Throttled == 0 || made < out.Throttled) {
			out.Throttled = made
		}
	}
	for m := range out.Months {
		if out.Throttled == 0 {
			break
		}
		if _, out.Months[m].Held, err = l.seasonPoint(feeds[m], out.Throttled); err != nil {
			return out, err
		}
	}
	return out, nil
}

// seasonPoint settles the rig, free or held to a flow. A month that makes
// nothing is an answer.
func (l *look) seasonPoint(feed water.Water, held quantity.Flow) (plant.Point, SeasonPoint, error) {
	c := plant.Conditions{Feed: feed, TankPressure: l.store.back}
	var point plant.Point
	var err error
	if held > 0 {
		point, _, err = l.rig.plant.Throttled(c, held)
	} else {
		point, err = l.rig.plant.Serve(c)
	}
	if err != nil {
		return point, SeasonPoint{Why: err.Error()}, nil
	}
	product := point.Product()
	strength, err := product.Water.Conductivity25()
	if err != nil {
		return point, SeasonPoint{}, fmt.Errorf("permeate: %w", err)
	}
	solution, err := water.Equilibrate(point.Drain.Water)
	if err != nil {
		return point, SeasonPoint{}, fmt.Errorf("concentrate: %w", err)
	}
	first, index := firstMineral(&solution)
	return point, SeasonPoint{Flow: product.Flow, Strength: strength, Recovery: point.Recovery(), First: first, Index: index}, nil
}

// firstMineral is the one nearest to settling, and its index.
func firstMineral(s *water.Solution) (name string, index float64) {
	index = -99
	for _, m := range minerals {
		if x := s.SaturationIndex(m); x > index {
			name, index = m.String(), x
		}
	}
	return name, index
}

// monthStrength is the strength of the raw water in a month over the one that
// the look is based on, from the raw sample nearest in the year.
func (l *look) monthStrength(s *site.Site, month int) float64 {
	base, ok := sampleAt(s, "raw")
	if !ok || !base.Strength.Known() {
		return 1
	}
	here, err := conductivityOf(base.Strength)
	if err != nil || !(here > 0) {
		return 1
	}
	nearest, share := 13, 1.0
	for _, w := range s.Samples {
		m, dated := monthOf(w.Date)
		if w.Place != "raw" || !w.Strength.Known() || !dated {
			continue
		}
		apart := min((month-m+12)%12, (m-month+12)%12)
		if there, err := conductivityOf(w.Strength); err == nil && apart < nearest {
			nearest, share = apart, float64(there/here)
		}
	}
	return min(max(share, 0.2), 5)
}

// monthOf reads the month of a day such as 2026-06-13, January as 0.
func monthOf(day string) (int, bool) {
	if len(day) < 7 {
		return 0, false
	}
	m, err := strconv.Atoi(day[5:7])
	return m - 1, err == nil && 1 <= m && m <= 12
}

// strengthened is w with all that is dissolved in it multiplied.
func strengthened(w water.Water, by float64) water.Water {
	for c := range w.Total {
		w.Total[c] *= quantity.MolarConc(by)
	}
	w.Alkalinity *= quantity.EquivConc(by)
	return w
}
