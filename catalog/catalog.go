package catalog

import (
	_ "embed"
	"errors"

	"rinsewright/quantity"
)

// ErrRead is wrapped by every refusal of a catalogue's text.
var ErrRead = errors.New("catalogue not readable")

// Price is an amount in minor units (cents) of the catalogue's currency.
type Price int64

// Kind is what a part is.
type Kind string

// The kinds, in the order the water meets them.
const (
	Filter       Kind = "filter"
	IronFilter   Kind = "iron filter"
	Carbon       Kind = "carbon"
	Softener     Kind = "softener"
	Booster      Kind = "booster"
	Element      Kind = "element"
	Housing      Kind = "housing"
	Restrictor   Kind = "restrictor"
	Tank         Kind = "tank"
	PressureTank Kind = "pressure tank"
	Aerator      Kind = "aerator"
	Float        Kind = "float"
	Resin        Kind = "resin"
	DeliveryPump Kind = "delivery pump"
	Tube         Kind = "tube"
)

// Part is one row of a catalogue. A value that its kind has no use for is 0;
// [Kind] decides what the others mean:
//
//	element       Flow, Rejection at test Pressure, Recovery, TestSalt, Temperature; Area, Length
//	housing       Size, which is the element's
//	restrictor    Flow at Pressure
//	booster       Flow at a rise of Pressure, ShutOff, Efficiency, Power; so is a delivery pump
//	filter        Pressure lost at Flow, Rating; Refill is a cartridge; so is an iron filter
//	carbon        Volume of a Medium, Pressure lost at Flow; Refill is one change
//	softener      Volume of resin, Salt per regeneration
//	resin         Volume, Medium "new" or "regenerated"
//	tank          Volume, Diameter; a pressure tank as well
//	tube          Size, price for Length
type Part struct {
	Kind Kind
	Name string
	Size string // nominal

	Flow        quantity.Flow
	Pressure    quantity.Pressure
	ShutOff     quantity.Pressure
	Rejection   quantity.Ratio
	Recovery    quantity.Ratio
	TestSalt    quantity.MassConc
	Temperature quantity.Temperature
	Area        quantity.Area
	Length      quantity.Length
	Volume      quantity.Volume
	Diameter    quantity.Length
	Medium      string
	Rating      quantity.Length
	Salt        quantity.Mass
	Efficiency  quantity.Ratio
	Power       quantity.Power

	Price  Price         // of the part
	Priced string        // ISO 8601 day on which its prices were told; "" is the catalogue's
	Refill Price         // of what is changed in it
	Fit    quantity.Time // to put it up
	Note   string        // where its numbers come from
}

// Catalogue is a price list of parts in one currency.
type Catalogue struct {
	Currency string // three letters
	Date     string // ISO 8601 day on which the prices were told, "" when nobody noted it
	Parts    []Part
}

// Of returns the parts of a kind in the catalogue's order.
func (c *Catalogue) Of(k Kind) []Part {
	var found []Part
	for _, p := range c.Parts {
		if p.Kind == k {
			found = append(found, p)
		}
	}
	return found
}

// Sized returns the first part of a kind with a nominal size.
func (c *Catalogue) Sized(k Kind, size string) (Part, bool) {
	for _, p := range c.Parts {
		if p.Kind == k && p.Size == size {
			return p, true
		}
	}
	return Part{}, false
}

//go:embed parts.csv
var generic string

// Generic returns the built-in catalogue. Source: [CatalogTypical]; prices are
// invented. The error is that of [Read] and would be a mistake in this package.
func Generic() (*Catalogue, error) { return Read([]byte(generic)) }

// Text returns the built-in catalogue as the table it is read from.
func Text() string { return generic }
