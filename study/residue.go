package study

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/rinse"
	"rinsewright/site"
)

// Outside area of what gets rinsed, in m². Source: [TradeDefaults]: 25 a car,
// 35 a large one, 54 an 8 m boat, 118 a 12 m bus; a solar washer's and a window
// cleaner's "vehicle" is a visit, so no area stands for it.
var outsideArea = map[site.Use]quantity.Area{site.Vehicles: 30, site.Boats: 54, site.Buses: 118}

// The film while rinsing and the film that stays to dry. Source:
// [TradeDefaults]: 0.1 L/m² while it runs, 50 µm after draining.
const (
	runningFilm = quantity.Length(100e-6)
	dryingFilm  = quantity.Length(50e-6)
)

// dried is what stays on the panel.
type dried struct {
	known   bool
	area    quantity.Area
	rinse   quantity.Length   // laid down, as a depth: 1 mm is 1 L/m²
	film    quantity.MassConc // strength of the film at the end
	left    rinse.Residue
	fromGun rinse.Residue // were the wash film displaced altogether
}

// residue follows the rinse onto the panel: the wash film, taken to be as
// strong as the raw water, is displaced by what the gun gives.
func (l *look) residue(s *site.Site) error {
	area, ok := outsideArea[s.Use]
	if !ok {
		return nil
	}
	depth := quantity.Length(float64(l.demand.PerVend) / float64(area))
	wash, gun := l.raw.Water.DissolvedSolids(), l.gun.water.DissolvedSolids()
	film, err := rinse.Displacement{Film: runningFilm, Wash: wash, Rinse: min(gun, wash)}.After(depth)
	if err != nil {
		return fmt.Errorf("rinse: %w", err)
	}
	d := dried{known: true, area: area, rinse: depth, film: film}
	if d.left, err = rinse.Left(dryingFilm, film); err != nil {
		return fmt.Errorf("residue: %w", err)
	}
	if d.fromGun, err = rinse.Left(dryingFilm, gun); err != nil {
		return fmt.Errorf("residue: %w", err)
	}
	l.dried = d
	return nil
}

// perArea prints a residue.
type perArea struct{ r rinse.Residue }

func (p perArea) Text(_ quantity.System, loc quantity.Locale) string {
	return localised(fmt.Sprintf("%.2g", p.r.MilligramsPerSquareMetre()), loc) + " mg/m²"
}

func (p perArea) Plain(quantity.System) (float64, string) {
	return p.r.MilligramsPerSquareMetre(), "mg/m2"
}

// rinseFinding says whether spots could come from the water or from rinsing
// too little.
func (c *checking) rinseFinding() (Finding, bool) {
	d := c.base.dried
	if !d.known {
		return Finding{}, false
	}
	litres := float64(d.rinse) * 1e3 // L/m²
	f := Finding{
		State: Fine, About: "rinse", Says: fmt.Sprintf("A rinse leaves about %s on the panel; %s of it comes from the water at the gun.",
			c.words(perArea{d.left}), c.words(perArea{d.fromGun})),
		Because: []string{"No limit for visible spots is published; what counts is the same panel, dried, beside the reading."},
	}
	if d.left > 3*d.fromGun && d.left > rinse.MilligramsPerSquareMetre(1) {
		f.State = Due
		f.Because = append([]string{fmt.Sprintf("It lays down %.2g L/m², too little to displace the wash film: what dries is mostly wash water at %s. Longer per side, or less area a rinse.",
			litres, text(c, d.film))}, f.Because...)
	}
	return f, true
}
