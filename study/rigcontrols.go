package study

import (
	"errors"
	"fmt"

	"rinsewright/membrane"
	"rinsewright/plant"
	"rinsewright/quantity"
	"rinsewright/site"
)

// Moment is what the rig does at one moment of its day, its controls as they
// were found.
type Moment struct {
	When    string
	Does    string
	State   State
	Because []string // what each control had to do with it
}

// asked is a moment to put a rig in, and how bad what it does then is.
type asked struct {
	when  string
	at    plant.Moment
	judge func(*plant.Doing) State
}

// moments asks the rig of its day, where its controls are known.
func (l *look) moments(s *site.Site, n *notes) (all []Moment, err error) {
	if s.Rig.Controls == nil {
		return nil, nil
	}
	for _, a := range l.asked(s.Rig.Controls) {
		doing := l.rig.plant.Delivers(a.at)
		if !a.at.Trigger {
			if doing, err = l.rig.plant.At(plant.Conditions{Feed: l.feed, TankPressure: l.store.back}, a.at); err != nil {
				return nil, fmt.Errorf("%s: %w", a.when, err)
			}
		}
		all = append(all, Moment{When: a.when, Does: does(&doing, a.at, n), State: a.judge(&doing), Because: doing.Because})
	}
	return all, nil
}

func (l *look) asked(c *site.Controls) []asked {
	tank := l.store.tank
	share := func(v quantity.Volume) quantity.Ratio { return quantity.Ratio(v / tank.Total) }
	m := plant.Moment{Start: share(tank.Start), Stop: share(tank.Stop), LowCut: share(tank.CutOff)}
	low, full, empty, unpaid := m, m, m, m
	low.Level, low.Calling = (m.Start+m.LowCut)/2, true
	full.Level = 1
	empty.Paid, empty.Trigger = true, true
	unpaid.Level, unpaid.Trigger = m.Start, true
	all := []asked{{"the tank asks for water", low, judgeLow}, {"the tank is full", full, judgeFull}}
	if l.store.vented && c.LowLevel != "" {
		all = append(all, asked{"the tank is empty and a gun is opened", empty, judgeEmpty})
	}
	if c.VendTimer != "" && c.VendTimer != site.NoControl {
		paid := unpaid
		paid.Paid = true
		all = append(all, asked{"a rinse is paid for and a gun is opened", paid, judgePaid}, asked{"a gun is opened that nobody paid for", unpaid, judgeUnpaid})
	}
	return all
}

func judgeLow(d *plant.Doing) State {
	switch {
	case !(d.Makes > 0):
		return Today
	case d.Chatters:
		return Due
	}
	return Fine
}

func judgeFull(d *plant.Doing) State {
	switch {
	case d.Overflows:
		return Today
	case d.Drains > 0:
		return Due
	}
	return Fine
}

func judgeEmpty(d *plant.Doing) State {
	if d.DryPump {
		return Today
	}
	return Fine
}

func judgePaid(d *plant.Doing) State {
	if !d.Delivers {
		return Today
	}
	return Fine
}

func judgeUnpaid(d *plant.Doing) State {
	if d.Unpaid {
		return Due
	}
	return Fine
}

// does says in a clause what a rig does.
func does(d *plant.Doing, m plant.Moment, n *notes) string {
	say := func(q quantity.Flow) string { return quantity.FormatLocale(q, n.units, n.locale) }
	if m.Trigger {
		switch {
		case d.DryPump:
			return "the delivery pump runs dry"
		case d.Delivers:
			return "the delivery pump runs"
		}
		return "the delivery pump stands still"
	}
	switch {
	case d.Overflows:
		return "the rig goes on making " + say(d.Makes) + ": the tank overflows"
	case d.Makes > 0:
		return "the rig makes " + say(d.Makes) + " and sends " + say(d.Drains) + " to the drain"
	case d.Drains > 0:
		return "the rig makes nothing, and " + say(d.Drains) + " run to the drain"
	}
	return "the rig stands still"
}

// controlFindings are the moments that need someone.
func (c *checking) controlFindings() (all []Finding) {
	n := &notes{units: c.options.Units, locale: c.options.Locale}
	moments, err := c.base.moments(c.site, n)
	if err != nil {
		return nil
	}
	for _, m := range moments {
		if m.State != Fine {
			all = append(all, Finding{State: m.State, About: "controls", Says: capital("when "+m.When) + ", " + m.Does + ".", Because: m.Because})
		}
	}
	return all
}

// sweep is what one flush does; nil without a flush valve, or where the rig
// cannot be flushed.
func (l *look) sweep() (*plant.Sweep, error) {
	if l.rig.plant.Flush == nil {
		return nil, nil
	}
	s, err := l.rig.plant.Sweep(plant.Conditions{Feed: l.feed, TankPressure: l.store.back})
	if errors.Is(err, membrane.ErrNoFlow) || errors.Is(err, membrane.ErrStarved) || errors.Is(err, plant.ErrSuction) {
		return nil, nil
	}
	return &s, err
}

// Nearest is the limit of the membrane that is used most, and ok is false where
// none is known.
func (r *Rigged) Nearest() (nearest membrane.Margin, ok bool) {
	for _, m := range r.Limits {
		if !ok || m.Used > nearest.Used {
			nearest, ok = m, true
		}
	}
	return nearest, ok
}
