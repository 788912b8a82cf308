package resin

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// SwapPolicy says when the lead vessel is taken out.
type SwapPolicy string

// The two ways to run lead and lag.
const (
	// AtMiddlePort swaps when the sample port between the vessels shows the action
	// level, or the product its endpoint if that comes first.
	AtMiddlePort SwapPolicy = "at the middle port"
	// AtProduct swaps when the product itself is at its endpoint, where there is no
	// port between. It uses most of each charge and risks the product.
	AtProduct SwapPolicy = "at the product"
)

// earlyShare is the share of its life to which a lone vessel is run where nobody
// watches it by the hour: 0.70 to 0.80 [Practice].
const earlyShare = 0.75

// Series is two vessels alike in series, each seen along its depth.
type Series struct {
	Vessel Polisher
	Policy SwapPolicy
	// Product is what the water after both must keep to, and Action what may show
	// at the middle port: as weak as the product to be safe, near the feed to use
	// the lead up. Only AtMiddlePort needs it.
	Product, Action Endpoint
	// Early is the share of its life to which a lone vessel would be run; 0 for
	// three quarters.
	Early quantity.Ratio
	// Swaps is how many charges to run through before counting, until lead and lag
	// come round alike; 0 for 3.
	Swaps int
}

// SeriesRun is what two vessels give, against one.
type SeriesRun struct {
	Single      quantity.Volume // a lone vessel watched to the product's endpoint
	Early       quantity.Volume // a lone vessel stopped early, as it is where nobody watches
	Lead        quantity.Volume // per charge with a lag behind
	Gain        quantity.Ratio  // Lead over Single, less 1
	GainOnEarly quantity.Ratio  // Lead over Early, less 1
	// Caught is the share of what a charge takes up in its life that it took up
	// as lag.
	Caught quantity.Ratio
	// WorstMiddle and WorstProduct are how far past the product's endpoint the
	// water between the vessels and the product got; 1 is at the endpoint;
	// dimensionless.
	WorstMiddle, WorstProduct float64
	Utilisation               quantity.Ratio // of the sites that end the bed, by a charge's whole life
}

// Run passes feed through lead and lag, charge after charge: at each swap the
// lag becomes lead and a fresh charge becomes lag. What it counts is the last
// charge's.
//
// Source: [Polisher] for each vessel; the order of the swap is [Practice]. The
// error wraps [ErrRange], [ErrNotConverged], or [ErrNoLoad] when the feed itself is
// within the product's endpoint.
func (s Series) Run(feed water.Water) (SeriesRun, error) {
	const operation = "lead and lag"
	if err := s.check(operation, feed); err != nil {
		return SeriesRun{}, err
	}
	if past, err := s.Product.Past(feed); err != nil || !(past > 1) {
		if err == nil {
			err = ErrNoLoad
		}
		return SeriesRun{}, fmt.Errorf("%s: feed against the endpoint: %w", operation, err)
	}
	p := s.Vessel
	if p.PoreVolumes == 0 {
		p.PoreVolumes = p.poreVolumesFor(feed)
	}
	single, _, err := p.ToEndpoint(feed, s.Product, mostSeries)
	if err != nil {
		return SeriesRun{}, fmt.Errorf("%s: single: %w", operation, err)
	}
	r := SeriesRun{Single: single, Early: single * quantity.Volume(s.early())}
	if err := s.charges(p, feed, &r); err != nil {
		return SeriesRun{}, fmt.Errorf("%s: %w", operation, err)
	}
	r.Gain = quantity.Ratio(float64(r.Lead)/float64(r.Single) - 1)
	r.GainOnEarly = quantity.Ratio(float64(r.Lead)/float64(r.Early) - 1)
	return r, nil
}

const mostSeries = 1e5 // bed volumes per charge

// charges runs charge after charge and fills in r from the last.
func (s Series) charges(p Polisher, feed water.Water, r *SeriesRun) error {
	lead, err := p.Start(feed.Temperature)
	if err != nil {
		return err
	}
	asLag := 0.0 // share of the lead's sites that it filled as lag
	for range s.swaps() {
		lag, err := p.Start(feed.Temperature)
		if err != nil {
			return err
		}
		if err := s.untilSwap(lead, lag, feed, r); err != nil {
			return err
		}
		r.Utilisation = quantity.Ratio(lead.filled())
		if r.Utilisation > 0 {
			r.Caught = quantity.Ratio(asLag) / r.Utilisation
		}
		asLag, lead = lag.filled(), lag
	}
	return nil
}

// untilSwap runs both vessels until the policy swaps them.
func (s Series) untilSwap(lead, lag *PolisherRun, feed water.Water, r *SeriesRun) error {
	r.WorstMiddle, r.WorstProduct, r.Lead = 0, 0, 0
	step := lead.Step()
	for float64(r.Lead) < mostSeries*float64(lead.volume) {
		middle, err := lead.Shift(feed)
		if err != nil {
			return fmt.Errorf("lead: %w", err)
		}
		product, err := lag.Shift(middle.Water)
		if err != nil {
			return fmt.Errorf("lag: %w", err)
		}
		r.Lead += step
		swap, err := s.swap(middle.Water, product.Water, r)
		if swap || err != nil {
			return err
		}
	}
	return fmt.Errorf("no swap within %.4g bed volumes: %w", mostSeries, ErrNoLoad)
}

// swap says whether the two waters call for a swap, and keeps the worst.
func (s Series) swap(middle, product water.Water, r *SeriesRun) (bool, error) {
	atProduct, err := s.Product.Past(product)
	if err != nil {
		return false, err
	}
	between, err := s.Product.Past(middle)
	if err != nil {
		return false, err
	}
	r.WorstMiddle, r.WorstProduct = max(r.WorstMiddle, between), max(r.WorstProduct, atProduct)
	if s.Policy == AtProduct || atProduct > 1 {
		return atProduct > 1, nil
	}
	atMiddle, err := s.Action.Past(middle)
	return atMiddle > 1, err
}

func (s Series) early() float64 {
	if s.Early == 0 {
		return earlyShare
	}
	return float64(s.Early)
}

func (s Series) swaps() int {
	if s.Swaps == 0 {
		return 3
	}
	return s.Swaps
}

func (s Series) check(operation string, feed water.Water) error {
	if s.Policy != AtMiddlePort && s.Policy != AtProduct {
		return fmt.Errorf("%s: policy %q, want %q or %q: %w", operation, s.Policy, AtMiddlePort, AtProduct, ErrRange)
	}
	if s.Policy == AtMiddlePort {
		if err := s.Action.check(operation); err != nil {
			return err
		}
	}
	return firstError(
		s.Product.check(operation),
		within(operation, "share of a lone vessel's life", float64(s.Early), 0, 1, ""),
		within(operation, "swaps", float64(s.Swaps), 0, 20, ""),
		s.Vessel.check(operation, feed.Temperature),
		checkWater(operation, feed),
	)
}

// filled is the share of the sites that the feed has taken, of the resin that is
// fuller.
func (r *PolisherRun) filled() float64 {
	most := 0.0
	for side, e := range []*exchanger{&r.cationBed, &r.anionBed} {
		if e.sites*1000*r.step*float64(len(r.cells)) < leastSites {
			continue
		}
		sum := 0.0
		for i := range r.cells {
			held := r.cells[i].cations
			if side == 1 {
				held = r.cells[i].anions
			}
			for j, amount := range held {
				sum += e.charge[j] * amount / e.sites
			}
		}
		most = max(most, sum/float64(len(r.cells)))
	}
	return min(1, most)
}
