package resin

import (
	"fmt"

	"rinsewright/quantity"
	"rinsewright/water"
)

// Endpoint is when a bed is taken out of service: when the water that leaves it
// passes one of these. A limit of 0 is not judged.
type Endpoint struct {
	Conductivity quantity.Conductivity // at 25 °C
	Silica       quantity.MassConc     // as SiO2; no pen shows it
}

// AtResistivity returns the endpoint of a resistivity at 25 °C, the trade's
// measure for the purest water: 1 MΩ·cm is 1 µS/cm.
//
// Source: definition. The error wraps [ErrRange] unless 0.001 to 18.2 MΩ·cm.
func AtResistivity(r quantity.Resistivity) (Endpoint, error) {
	const megohm = 1e4 // Ω·m in 1 MΩ·cm
	if err := within("endpoint", "resistivity", float64(r)/megohm, 0.001, 18.2, "MΩ·cm"); err != nil {
		return Endpoint{}, err
	}
	return Endpoint{Conductivity: quantity.Conductivity(1 / float64(r))}, nil
}

// Surface is what the water dries on.
type Surface string

// Surfaces with an endpoint of their own.
const (
	Glass    Surface = "glass"
	Solar    Surface = "solar modules"
	Vehicles Surface = "vehicles"
	Boats    Surface = "boats"
	Buses    Surface = "buses"
	Cladding Surface = "cladding"
)

// surfaceEnds are the strengths at which people act, as ppm on a meter's
// half-of-µS/cm scale, and silica where spots of it stay. Source: [Practice]; silica
// [Memory].
var surfaceEnds = map[Surface]struct{ ppm, silica float64 }{
	Glass: {10, 1}, Solar: {40, 2}, Vehicles: {30, 0}, Boats: {50, 0}, Buses: {50, 0}, Cladding: {70, 0},
}

// EndpointFor returns the usual endpoint of a surface:
//
//	glass 10 ppm, silica 1 mg/L · solar modules 40, silica 2 · vehicles 30
//	boats 50 · buses 50 · cladding 70 ppm, ppm being half of µS/cm
//
// Source: [Practice], silica [Memory]; a start for a site about whose panels
// nothing is known. The error wraps [ErrRange] for another surface.
func EndpointFor(s Surface) (Endpoint, error) {
	e, ok := surfaceEnds[s]
	if !ok {
		return Endpoint{}, fmt.Errorf("endpoint: surface %q is not one with a usual endpoint: %w", s, ErrRange)
	}
	return Endpoint{Conductivity: quantity.MicrosiemensPerCm(2 * e.ppm), Silica: quantity.MilligramsPerLitre(e.silica)}, nil
}

// Past returns by how much a water passes the endpoint: its conductivity or its
// silica over the limit, whichever is more; dimensionless. More than 1 is past. Errors as
// [water.Equilibrate].
func (e Endpoint) Past(w water.Water) (float64, error) {
	past := 0.0
	if e.Silica > 0 {
		past = float64(water.Silica.Mass(w.Total[water.Silica])) / float64(e.Silica)
	}
	if !(e.Conductivity > 0) {
		return past, nil
	}
	k, err := conductivity25(w)
	if err != nil {
		return 0, fmt.Errorf("endpoint: %w", err)
	}
	return max(past, float64(k)/float64(e.Conductivity)), nil
}

// conductivity25 is what a meter corrected to 25 °C shows.
func conductivity25(w water.Water) (quantity.Conductivity, error) {
	w.Temperature = quantity.Celsius(25)
	s, err := water.Equilibrate(w)
	if err != nil {
		return 0, err
	}
	return s.Conductivity(), nil
}

// bySilica says whether silica is the limit that w is nearest to, or furthest
// past.
func (e Endpoint) bySilica(w water.Water) bool {
	conductivity, err := Endpoint{Conductivity: e.Conductivity}.Past(w)
	silica, _ := Endpoint{Silica: e.Silica}.Past(w)
	return err == nil && silica > conductivity
}

func (e Endpoint) check(operation string) error {
	if !(e.Conductivity > 0) && !(e.Silica > 0) {
		return fmt.Errorf("%s: endpoint has neither conductivity nor silica: %w", operation, ErrRange)
	}
	return firstError(
		within(operation, "endpoint conductivity", float64(e.Conductivity)*1e4, 0, 1e5, "µS/cm"),
		within(operation, "endpoint silica", float64(e.Silica), 0, 1, "kg/m³"),
	)
}
