package study

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/rinse"
	"rinsewright/site"
	"rinsewright/water"
)

// heatFinding runs the rig at its warmest feed: heat passes more salt than
// water, so a rig that holds at dawn may fail at noon.
func (c *checking) heatFinding() (Finding, bool) {
	l := c.base
	target, ok := c.target()
	if !ok || len(l.rig.plant.Train.Housings) == 0 || len(l.rig.beds) > 0 {
		return Finding{}, false
	}
	_, warm := l.coldAndWarm(c.site, c.notes)
	cold, _ := l.coldAndWarm(c.site, c.notes)
	noon, err := c.penAt(warm)
	if err != nil {
		return Finding{}, false
	}
	dawn, err := c.penAt(cold)
	if err != nil || noon <= target {
		return Finding{}, false
	}
	f := Finding{State: Due, About: "heat", Says: fmt.Sprintf("With the warmest feed, %s, the membrane gives %s; %s is wanted.", text(c, warm), ppm(noon), ppm(target))}
	if dawn <= target {
		f.Because = append(f.Because, fmt.Sprintf("With the coldest, %s, it gives %s, which holds. Water made while it is cool and kept in a tank needs no resin.", text(c, cold), ppm(dawn)))
	}
	return f, true
}

func (c *checking) penAt(t quantity.Temperature) (quantity.MassConc, error) {
	point, err := c.base.settle(t)
	if err != nil {
		return 0, err
	}
	s, err := strengthOf(point.Product().Water)
	if err != nil {
		return 0, err
	}
	return penNaCl(s.at25)
}

// silicaFinding warns where silica leaves the resin before the meter moves.
func (c *checking) silicaFinding(r *Resin) (Finding, bool) {
	if r == nil || r.SilicaDays == nil {
		return Finding{}, false
	}
	dark := c.site.Use == site.Glass || c.site.Use == site.Solar
	if !dark && c.base.life.Shares.Silica < 0.15 {
		return Finding{}, false
	}
	f := Finding{State: Fine, About: "silica", Says: fmt.Sprintf("Silica leaves the resin after about %s, before the meter moves at %s.", c.words(r.SilicaDays), c.words(r.Days.Value))}
	if dark {
		f.State = Due
		f.Because = []string{
			fmt.Sprintf("It takes %s of the places and a meter hardly sees it: dark glass hazes while the reading stays at 0.", text(c, c.base.life.Shares.Silica)),
			"End a bottle by volume, or by a silica kit between lead and lag; past its end it gives back more silica than it was fed.",
		}
	}
	return f, true
}

// crossOverFinding compares the gun with the tank: what the gun has more has
// come in on the way.
func (c *checking) crossOverFinding() (Finding, bool) {
	gun, okGun := sampleAt(c.site, "gun")
	tank, okTank := sampleAt(c.site, "tank")
	if !okGun || !okTank {
		return Finding{}, false
	}
	atGun, err := conductivityOf(gun.Strength)
	if err != nil {
		return Finding{}, false
	}
	atTank, err := conductivityOf(tank.Strength)
	if err != nil || atGun < 1.5*atTank+quantity.MicrosiemensPerCm(8) {
		return Finding{}, false
	}
	f := Finding{State: Today, About: "bay", Says: fmt.Sprintf("The gun gives %s, the tank %s: something else comes in between them.", text(c, atGun), text(c, atTank))}
	share, err := rinse.CrossOver(quantity.MassConc(atTank), quantity.MassConc(min(atGun, c.base.raw.Conductivity)), quantity.MassConc(c.base.raw.Conductivity))
	if err == nil {
		f.Because = append(f.Because, fmt.Sprintf("If it is tap water, it is %s of what the gun gives. Neither membrane nor resin is to blame: a check valve, a selector or a solenoid in that bay lets it cross.", text(c, share)))
	}
	f.Because = append(f.Because, "Shut the tap's branch to that bay and read the gun again: if the reading falls, it is found. Cross-connections are a plumber's matter under the local code.")
	return f, true
}

// conductivityOf is what a strength reading says, at 25 °C.
func conductivityOf(s water.Strength) (quantity.Conductivity, error) {
	if s.Conductivity.Known {
		return s.Conductivity.Value, nil
	}
	name := s.Scale
	if name == "" {
		name = "NaCl"
	}
	scale, err := water.ScaleNamed(name)
	if err != nil {
		return 0, err
	}
	return scale.Conductivity(s.PPM.Value)
}
