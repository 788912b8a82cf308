package carbon

import (
	"fmt"

	"rinsewright/quantity"
)

// LeakLimit is the total chlorine allowed at the membrane, 0.1 mg/L. Source:
// [SalePages], as a strip or a kit can still show it.
const LeakLimit = quantity.MassConc(1e-4) // kg/m³

// Duty is how the bed is run.
type Duty struct {
	Challenge Challenge
	Flow      quantity.Flow  // of feed, while running
	Recovery  quantity.Ratio // permeate over feed
	RunPerDay quantity.Time  // hours of running in a day
	Used      quantity.Ratio // of the capacity, at the start
}

func (d Duty) check(operation string) error {
	return firstError(
		d.Challenge.check(operation),
		within(operation, "feed flow", float64(d.Flow), 1e-9, mostFlow, "m³/s"),
		within(operation, "recovery", float64(d.Recovery), 0.01, 1, ""),
		within(operation, "running time per day", d.RunPerDay.Hours(), 0, 24, "h"),
		within(operation, "used share", float64(d.Used), 0, 1, ""),
	)
}

// Life is how long a bed holds total chlorine at the membrane within
// [LeakLimit].
type Life struct {
	Feed     quantity.Volume // water through the carbon
	Permeate quantity.Volume // what the customer gets of it
	Time     quantity.Time   // at the duty's hours a day; 0 when the rig does not run
	Used     quantity.Ratio  // share of capacity used when the limit is reached
	// TooSmall says that the bed exceeds the limit as it is: contact, not age.
	TooSmall bool
	// NoChallenge says that the feed brings no more than the limit, so nothing
	// ends the carbon but its age; the volumes are then 0.
	NoChallenge bool
}

// Life returns the feed volume until the leak reaches [LeakLimit]:
//
//	V = (u_end - u) capacity / (free + 3 chloramine),  leak(u_end) = 0.1 mg/L
//
// Source: mass balance on [Bed.Leak], the leak itself counted as taken up, which
// shortens the life by at most its share. A change every 12 months at the latest
// is [Practice], since carbon grows slime. Errors as [Bed.Leak].
func (b Bed) Life(d Duty) (Life, error) {
	const operation = "carbon life"
	contact, err := b.ContactTime(d.Flow)
	if err := firstError(err, b.check(operation), d.check(operation)); err != nil {
		return Life{}, err
	}
	if d.Challenge.FreeChlorine+d.Challenge.Chloramine <= LeakLimit {
		return Life{NoChallenge: true, Used: d.Used}, nil
	}
	if b.leak(d.Challenge, contact, float64(d.Used)).Total() > LeakLimit {
		return Life{TooSmall: true, Used: d.Used}, nil
	}
	end := b.usedAtLimit(d.Challenge, contact, float64(d.Used))
	feed := (end - float64(d.Used)) * float64(b.Capacity) / d.Challenge.use() // m³
	life := Life{
		Feed:     quantity.Volume(feed),
		Permeate: quantity.Volume(feed * float64(d.Recovery)),
		Used:     quantity.Ratio(end),
	}
	if perDay := float64(d.Flow) * float64(d.RunPerDay); perDay >= 1e-9 { // m³
		life.Time = quantity.Days(feed / perDay)
	}
	return life, nil
}

// usedAtLimit finds by bisection the used share at which the leak reaches the
// limit; the caller knows that it lies between used and 1, and the leak rises
// with every step.
func (b Bed) usedAtLimit(c Challenge, contact quantity.Time, used float64) float64 {
	lo, hi := used, 1.0
	for range 60 {
		middle := (lo + hi) / 2
		if b.leak(c, contact, middle).Total() > LeakLimit {
			hi = middle
		} else {
			lo = middle
		}
	}
	return lo
}

// LifeFromRating returns the feed volume that a cartridge's rating stands for,
// scaled to the site's chlorine:
//
//	V = V_rated C_rated / C
//
// Source: [Practice]; ratings are claims at one flow. The error wraps [ErrRange]
// unless all three are positive.
func LifeFromRating(rated quantity.Volume, at, site quantity.MassConc) (quantity.Volume, error) {
	const operation = "carbon rating"
	if err := firstError(
		above(operation, "rated volume", float64(rated), 1e6, "m³"),
		within(operation, "rated chlorine", float64(at), 1e-6, 0.1, "kg/m³"),
		within(operation, "site chlorine", float64(site), 1e-6, 0.1, "kg/m³"),
	); err != nil {
		return 0, fmt.Errorf("life: %w", err)
	}
	return rated * quantity.Volume(float64(at)/float64(site)), nil
}
