package demand

import (
	"context"
	"fmt"
	"math"
	"time"

	"rinsewright/quantity"
)

// DemandRow is one row for `calc demand`. Columns, all but one number of
// vehicles optional: id, bays, vehicles_day, vehicles_busiest,
// busiest_weekdays and closed_weekdays (names parted by spaces), vend_s,
// spot_free_s or spot_free_share, gun_L_min, litres_per_vehicle, waiting,
// opens_h, closes_h, busiest_hour_h, busiest_hour_share, first_month,
// last_month (1 to 12).
type DemandRow struct {
	ID      string
	Answers Answers
	Log     []LoggedVend // fitted by [FitLog]; empty without
}

// DemandResult is one row from `calc demand`. Columns: id, vends_year,
// open_days, busiest_month, busiest_day (of the month), vends_busiest,
// peak_hour, vends_peak_hour, litres_per_vend, litres_mean_day,
// litres_open_day, litres_busiest_day, litres_year, offered_erlangs,
// turned_away_share, assumed (parted by semicolons), error.
type DemandResult struct {
	ID           string
	Demand       Demand
	BusiestMonth time.Month
	BusiestDate  int     // day of that month
	Fit          *LogFit // nil without a log
	Assumed      []string
	Err          error
}

// CalcDemand answers each row by [FromAnswers] and [Profile.Demand]. A bad row
// says why in its Err and leaves the others alone.
func CalcDemand(rows []DemandRow) []DemandResult {
	results := make([]DemandResult, len(rows))
	for i, row := range rows {
		r := DemandResult{ID: row.ID}
		var p Profile
		p, r.Fit, r.Assumed, r.Err = fromRow(row.Answers, row.Log)
		if r.Err == nil {
			r.Demand, r.Err = p.Demand()
			r.BusiestMonth, r.BusiestDate = DateOf(r.Demand.BusiestDay)
		}
		results[i] = r
	}
	return results
}

// fromRow makes the profile from a log where there is one.
func fromRow(a Answers, log []LoggedVend) (Profile, *LogFit, []string, error) {
	if len(log) == 0 {
		p, assumed, err := FromAnswers(a)
		return p, nil, assumed, err
	}
	f, err := FitLog(log, a, nil)
	if err != nil {
		return Profile{}, nil, nil, err
	}
	return f.Profile, &f, f.Assumed, nil
}

// TankRow is one row for `calc tank`. Columns: those of [DemandRow], and
// tank_L (to the overflow), stop_L, start_L, cut_off_L, restart_L (empty takes
// the trade's levels, see [VentedTank]), pump_L_min (empty for no limit),
// make_up_cold_L_min, make_up_warm_L_min (empty is as when cold), years
// (empty is 40), seed, day_to_day_share, risk, regeneration_every_d,
// regeneration_min, membrane_out_d (on the busiest day), power_cut_min (in its
// peak hour).
type TankRow struct {
	ID           string
	Answers      Answers
	Tank         Tank // only Total: the trade's levels
	MakeUpCold   quantity.Flow
	MakeUpWarm   quantity.Flow // 0: as when cold
	ColdestMonth time.Month    // 0: January
	Years        int           // 0: 40
	Seed         uint64

	Log           []LoggedVend   // fitted by [FitLog]; empty without
	DayToDay      quantity.Ratio // see [Profile]; 0 is the log's
	Interruptions []Interruption
	// Risk, where it is not 0, also asks which tank keeps the chance of a year
	// with a short vend at it, and until which demand this one does: some twenty
	// times the work.
	Risk quantity.Ratio
}

// TankResult is one row from `calc tank`. Columns: id, usable_L,
// float_differential_L, fill_min, short_year, short_low, short_high,
// short_share, run_dry, run_dry_low, run_dry_high, worst_day_short,
// turned_away_year, starts_day, starts_busiest_day, run_per_start_min,
// at_full_share, recovery_min, lowest_L, delivered_L, made_L, load_peak,
// run_dry_bound, assumed, error. run_dry is the chance of a year with any short
// vend; low and high are 95 % limits of the simulation.
type TankResult struct {
	ID          string
	Tank        Tank
	Usable      quantity.Volume
	Fill        quantity.Time // of the usable volume when coldest, with no draw
	Replication Replication
	Bound       Bound
	Needed      quantity.Volume // usable, where a risk was asked
	Good        Growth          // where a risk was asked
	Assumed     []string
	Err         error
}

// CalcTank answers each row by [Replicate]. A bad row says why in its Err and
// leaves the others alone; when ctx ends, rows not yet answered say so.
func CalcTank(ctx context.Context, rows []TankRow) []TankResult {
	results := make([]TankResult, len(rows))
	for i, row := range rows {
		results[i] = row.result(ctx)
		results[i].ID = row.ID
	}
	return results
}

func (row TankRow) result(ctx context.Context) TankResult {
	p, _, assumed, err := fromRow(row.Answers, row.Log)
	if err != nil {
		return TankResult{Err: err}
	}
	s := supposer{assumed: assumed}
	r := TankResult{Tank: s.levels(row)}
	years := int(s.or(float64(row.Years), 40, "simulated years: 40"))
	makeUp := s.season(row)
	r.Assumed, r.Usable = s.assumed, r.Tank.Usable()
	if r.Err = r.Tank.Check(); r.Err != nil {
		return r
	}
	if r.Fill, r.Err = FillTime(r.Usable, row.MakeUpCold); r.Err != nil {
		return r
	}
	if r.Bound, r.Err = p.RunDryBound(r.Tank, row.MakeUpCold); r.Err != nil {
		return r
	}
	if row.DayToDay != 0 {
		p.DayToDay = row.DayToDay
	}
	c := Case{Profile: p, Tank: r.Tank, MakeUp: makeUp, Interruptions: row.Interruptions}
	if r.Replication, r.Err = Repeat(ctx, c, years, row.Seed); r.Err != nil || row.Risk == 0 {
		return r
	}
	r.Err = r.size(ctx, c, row.Risk, years, row.Seed)
	return r
}

// size adds what keeps a risk.
func (r *TankResult) size(ctx context.Context, c Case, risk quantity.Ratio, years int, seed uint64) error {
	m, err := MapRisk(ctx, c, []quantity.Ratio{1}, years, seed)
	if err != nil {
		return err
	}
	r.Needed, _ = m.Rows[0].Usable(risk)
	r.Good, err = GoodUntil(ctx, c, risk, years, seed)
	return err
}

// levels gives a tank of which only the volume is known the trade's levels. A
// wrong tank is left for its check.
func (s *supposer) levels(row TankRow) Tank {
	t := row.Tank
	if t.Stop != 0 || t.Start != 0 || t.CutOff != 0 || t.Restart != 0 {
		return t
	}
	vented, err := VentedTank(t.Total, max(row.MakeUpCold, row.MakeUpWarm))
	if err != nil {
		return t
	}
	s.suppose("levels: full at 95 %%, restart after half an hour's make-up or 10 %%, pump off at 8 %% and on at 18 %% of the tank (common practice, no source)")
	vented.Pump = t.Pump
	return vented
}

func (s *supposer) season(row TankRow) MakeUp {
	if row.MakeUpWarm == 0 {
		s.suppose("make-up: the same all year")
		return SteadyMakeUp(row.MakeUpCold)
	}
	month := row.ColdestMonth
	if month == 0 {
		month = time.January
		s.suppose("coldest month: January")
	}
	middle, err := DayOf(month, 15)
	if err != nil {
		return func(int) quantity.Flow { return quantity.Flow(math.NaN()) }
	}
	return SeasonalMakeUp(row.MakeUpCold, row.MakeUpWarm, middle)
}

// String tells a bound in words.
func (b Bound) String() string {
	if b.AtMost >= 1 {
		return fmt.Sprintf("busiest hour asks for %.3g times the make-up", b.Load)
	}
	return fmt.Sprintf("dry at most %.2g of the time", float64(b.AtMost))
}
