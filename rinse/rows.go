package rinse

import (
	"fmt"

	"rinsewright/quantity"
)

// Row is one row for `calc rinse`. Columns: id, solids_mgL, silica_mgL (of the
// rinse), wash_film_mgL, film_mm (standing while rinsing; empty is 0.1),
// gun_L_min, on_panel_share (empty is 0.5), side_m2, seconds (per side),
// dried_film_um (left to dry; empty is 50), limit_mg_m2 or surface (an id of
// [Surfaces]).
type Row struct {
	ID           string
	Rinse        quantity.MassConc // dissolved solids without silica
	Silica       quantity.MassConc
	Displacement Displacement // Rinse in it is filled from the two above
	Gun          Gun
	Time         quantity.Time
	Dried        quantity.Length
	Limit        Residue
	Surface      string
}

// Result is one row from `calc rinse`. Columns: id, rinse_L_m2, film_end_mgL,
// residue_mg_m2, residue_of_rinse_mg_m2 (were the film displaced altogether),
// limit_mg_m2, seconds_needed (per side), reaches, assumed, error. seconds_needed means nothing
// unless reaches is true: no limit is known, or the rinse alone leaves more than it.
type Result struct {
	ID      string
	Rinse   quantity.Length // per area
	FilmEnd quantity.MassConc
	Residue Residue
	OfRinse Residue
	Limit   Residue
	Needed  quantity.Time
	Reaches bool // the limit can be met by rinsing longer
	Assumed []string
	Err     error
}

// Calc answers each row. A bad row says why in its Err and leaves the others
// alone.
func Calc(rows []Row) []Result {
	results := make([]Result, len(rows))
	for i, row := range rows {
		results[i] = row.result()
		results[i].ID = row.ID
	}
	return results
}

func (row Row) result() Result {
	var r Result
	row.suppose(&r)
	d, g := row.Displacement, row.Gun
	d.Rinse = Solids(row.Rinse, row.Silica)
	if r.Rinse, r.Err = g.Rinse(row.Time); r.Err != nil {
		return r
	}
	if r.FilmEnd, r.Err = d.After(min(r.Rinse, 1)); r.Err != nil {
		return r
	}
	if r.Residue, r.Err = Left(row.Dried, r.FilmEnd); r.Err != nil {
		return r
	}
	if r.OfRinse, r.Err = Left(row.Dried, d.Rinse); r.Err != nil {
		return r
	}
	if r.Limit, r.Err = row.limit(); r.Err != nil || r.Limit == 0 {
		return r
	}
	r.Needed, r.Reaches, r.Err = row.seconds(d, r.Limit)
	return r
}

// suppose fills what nobody said.
func (row *Row) suppose(r *Result) {
	if row.Displacement.Film == 0 {
		row.Displacement.Film = quantity.Millimetres(0.1)
		r.Assumed = append(r.Assumed, "film while rinsing: 0.1 L/m² (common practice, no source)")
	}
	if row.Gun.OnPanel == 0 {
		row.Gun.OnPanel = 0.5
		r.Assumed = append(r.Assumed, "half of the flow lands on the side (common practice, no source)")
	}
	if row.Dried == 0 {
		row.Dried = quantity.Length(50e-6)
		r.Assumed = append(r.Assumed, "film that dries: 50 µm (common practice, no source)")
	}
}

// limit returns the user's, or the surface's act limit on the film that dries;
// 0 when neither is given.
func (row Row) limit() (Residue, error) {
	if row.Limit != 0 {
		return row.Limit, within("limit in kg/m²", float64(row.Limit), 1e-12, 1)
	}
	if row.Surface == "" {
		return 0, nil
	}
	s, ok := SurfaceOf(row.Surface)
	if !ok {
		return 0, fmt.Errorf("surface %q is not known: %w", row.Surface, ErrRange)
	}
	return Left(row.Dried, s.Act)
}

// seconds returns the time a side needs to meet a limit, and whether any does.
func (row Row) seconds(d Displacement, limit Residue) (quantity.Time, bool, error) {
	allowed, err := FilmAllowed(limit, row.Dried)
	if err != nil {
		return 0, false, err
	}
	if allowed <= d.Rinse && allowed < d.Wash {
		return 0, false, nil
	}
	needed, err := d.Needed(min(allowed, 100))
	if err != nil {
		return 0, false, err
	}
	t, err := row.Gun.Seconds(needed)
	return t, err == nil, err
}
