// Package resin holds the ion-exchange stations: the mixed bed that polishes
// permeate and the softener ahead of the membrane. It answers how many litres
// a bed lasts, what ate it, and what would make it last longer.
//
// A mixed bed is loaded by charge, not by what a conductivity pen reads. Each
// litre brings strong cations and ammonium to the cation resin, and strong
// anions, bicarbonate, carbon dioxide, silica and borate to the anion resin.
// The last four are weak acids: on resin in the OH form each takes one site
// per molecule, dissociated or not, while a pen sees only the dissociated
// part. So a bed behind a membrane is often eaten by CO2 that nothing on the
// skid shows.
//
// Two forms are kept. The fast form divides capacity by load ([Bed.Life]). The
// full form moves water through cells of resin at local equilibrium, which gives
// the order and the strength of what breaks through: [Polisher] for a mixed bed,
// [Column] for one resin such as a softener's.
//
// Symbols: Q capacity per volume of bed, V bed volume, L load per volume of
// water, u share of capacity used at the endpoint, E share of exchange sites.
//
// # Sources
//
//   - [Practice] trade practice without a citable source
//   - [Memory] from memory, unverified
//   - [IXArticle2011] trade journal article on ion-exchange capacity, 2011
//   - [SalePages] trade pages on mixed-bed and softener ratings
//   - [MILHDBK1164] MIL-HDBK-1164, section 11.5.8.1
//   - [GainesThomas1953] Gaines and Thomas 1953
//   - [Helfferich1962] Helfferich 1962
//   - [DeVault1943] DeVault 1943
//   - [PlummerBusenberg1982] Plummer and Busenberg 1982
//   - [Parkhurst2013] Parkhurst and Appelo 2013
//   - [WilsonGeankoplis1966] Wilson and Geankoplis 1966
//   - [Hall1966] Hall and others 1966
//   - [Kataoka1972] Kataoka and others 1972
//   - [Boudreau1997] Boudreau 1997
//   - [BoydSoldano1953] Boyd and Soldano 1953
//   - [Glueckauf1955] Glueckauf 1955
//   - [SP811] NIST Special Publication 811 (2008), appendix B
//
// docs/sources/resin.md gives them in full.
package resin

import (
	"errors"
	"fmt"

	"rinsewright/quantity"
)

var (
	// ErrRange is wrapped by errors about an input outside the range that a
	// function states, NaN and infinities included.
	ErrRange = errors.New("out of range")
	// ErrNoLoad is wrapped when the water brings nothing that could use up the
	// bed, so that its life has no end that chemistry could name. Such a bed is
	// changed by its shelf life.
	ErrNoLoad = errors.New("water brings no load")
)

// kilogramsPerGrain is exact: the pound over 7000 [SP811].
const kilogramsPerGrain = 64.79891e-6

// GrainsPerCubicFoot makes a bed's rating from grains as CaCO3 per cubic foot
// of resin, the unit of labels. Source: [SP811], exact; checked against
// [IXArticle2011].
func GrainsPerCubicFoot(x float64) quantity.CaCO3Conc {
	return quantity.CaCO3Conc(x * kilogramsPerGrain / float64(quantity.CubicFeet(1)))
}

// InGrainsPerCubicFoot returns a bed's rating in grains as CaCO3 per cubic
// foot of resin. Source: [SP811], exact.
func InGrainsPerCubicFoot(c quantity.CaCO3Conc) float64 {
	return float64(c) * float64(quantity.CubicFeet(1)) / kilogramsPerGrain
}

// within reports x outside lo..hi, in words that name the quantity; NaN is
// outside every range.
func within(operation, name string, x, lo, hi float64, unit string) error {
	if lo <= x && x <= hi {
		return nil
	}
	return fmt.Errorf("%s: %s is %.4g %s, want %.4g to %.4g: %w", operation, name, x, unit, lo, hi, ErrRange)
}

// above is within for quantities that must exceed zero.
func above(operation, name string, x, hi float64, unit string) error {
	if 0 < x && x <= hi {
		return nil
	}
	return fmt.Errorf("%s: %s is %.4g %s, want more than 0 and at most %.4g: %w", operation, name, x, unit, hi, ErrRange)
}

// firstError returns the first of several checks that failed.
func firstError(checks ...error) error {
	for _, err := range checks {
		if err != nil {
			return err
		}
	}
	return nil
}
