package cli

import (
	"rinsewright/carbon"
	"rinsewright/quantity"
)

var carbonDoor = calcDoor{
	name: "carbon", about: "contact time, leak of chlorine and life of a carbon stage",
	notes: "Chlorine is as Cl2. " + carbon.CautionNoCarbon + " " + carbon.CautionTotalNotice,
	keys:  []calcColumn{idColumn},
	inputs: []calcColumn{
		wordColumn("kind", "of carbon", string(carbon.Granular), string(carbon.Block), string(carbon.Granular), string(carbon.Catalytic)),
		needColumn("volume_L", "L", "volume of carbon", 0.01, 20_000),
		needColumn("flow_L_min", "L/min", "feed flow while running", 1e-3, 1e4),
		mayColumn("free_chlorine_mgL", "mg/L", "free chlorine in the feed", 0, 100, "0"),
		mayColumn("chloramine_mgL", "mg/L", "chloramine in the feed: total less free", 0, 100, "0"),
		needColumn("temp_C", "°C", "temperature", coldest, warmest),
		mayColumn("pH", "", "pH", 2, 12, "7.5"),
		mayColumn("used", "", "share of the carbon's capacity used already", 0, 1, "0"),
		mayColumn("recovery", "", "permeate over feed", 0.01, 1, "1"),
		mayColumn("run_h_day", "h", "hours of running in a day", 0, 24, "24"),
		mayColumn("vessel_mm", "mm", "inside diameter of the tank of loose carbon, for its flush", 20, 5000, ""),
		mayColumn("swap_mgL", "mg/L", "total chlorine after the first of two such stages at which it is renewed", 0.01, 10, "0.1"),
	},
	results: []calcColumn{
		resultColumn("contact_min", "min", "empty-bed contact time"),
		resultColumn("contact_holds", "", "true when contact is what guidance asks for"),
		resultColumn("leak_free_mgL", "mg/L", "free chlorine that passes"),
		resultColumn("leak_chloramine_mgL", "mg/L", "chloramine that passes"),
		resultColumn("leak_total_mgL", "mg/L", "both"),
		resultColumn("too_small", "", "true when the leak exceeds 0.1 mg/L whatever the carbon's age"),
		resultColumn("life_feed_L", "L", "feed until the leak reaches 0.1 mg/L; empty where nothing but age ends it, as with the next two"),
		resultColumn("life_permeate_L", "L", "permeate of that feed"),
		resultColumn("life_days", "d", "days at run_h_day"),
		resultColumn("flush_L", "L", "to drain before new carbon may feed the membrane; empty for loose carbon without vessel_mm"),
		resultColumn("with_lag_feed_L", "L", "feed per charge over ten years with a second such stage behind, looked at weekly; empty when none falls due"),
		resultColumn("with_lag_worst_mgL", "mg/L", "total chlorine that the membrane then meets at worst"),
	},
	compute: carbonAnswer,
}

func carbonAnswer(_ calcSetting, r calcRow) (calcAnswer, error) {
	bed, err := carbon.NewBed(carbon.Kind(r.text("kind")), quantity.Litres(r.number("volume_L")))
	if err != nil {
		return nil, err
	}
	duty := carbon.Duty{
		Challenge: carbon.Challenge{
			FreeChlorine: quantity.MilligramsPerLitre(r.number("free_chlorine_mgL")), Chloramine: quantity.MilligramsPerLitre(r.number("chloramine_mgL")),
			Temperature: quantity.Celsius(r.number("temp_C")), PH: quantity.PH(r.number("pH")),
		},
		Flow: quantity.LitresPerMinute(r.number("flow_L_min")), Recovery: quantity.Ratio(r.number("recovery")),
		RunPerDay: quantity.Hours(r.number("run_h_day")), Used: quantity.Ratio(r.number("used")),
	}
	contact, err := bed.ContactTime(duty.Flow)
	if err != nil {
		return nil, err
	}
	verdicts, err := bed.Contact(duty.Challenge, duty.Flow)
	if err != nil {
		return nil, err
	}
	holds := true
	for _, v := range verdicts {
		holds = holds && v.Holds
	}
	leak, err := bed.Leak(duty.Challenge, duty.Flow, duty.Used)
	if err != nil {
		return nil, err
	}
	life, err := bed.Life(duty)
	if err != nil {
		return nil, err
	}
	a := calcAnswer{
		contact.Minutes(), holds, leak.FreeChlorine.MilligramsPerLitre(), leak.Chloramine.MilligramsPerLitre(), leak.Total().MilligramsPerLitre(), life.TooSmall,
	}
	if life.NoChallenge {
		a = append(a, nil, nil, nil)
	} else {
		a = append(a, life.Feed.Litres(), life.Permeate.Litres(), daysOrNothing(life.Time))
	}
	return carbonUpkeep(a, r, bed, duty)
}

// carbonUpkeep adds the flush of new carbon, and two stages in series, to a.
func carbonUpkeep(a calcAnswer, r calcRow, bed carbon.Bed, duty carbon.Duty) (calcAnswer, error) {
	const weeks = 520
	var flushed, perCharge any
	if bed.Kind == carbon.Block || r.has("vessel_mm") {
		flush, err := bed.Flush(duty.Flow, quantity.Millimetres(r.number("vessel_mm")))
		if err != nil {
			return nil, err
		}
		flushed = flush.ToDrain.Litres()
	}
	log, err := carbon.Series{
		Bed: bed, Lag: true, Calendar: carbon.Calendar{Usual: duty.Challenge}, Flow: duty.Flow, RunPerDay: duty.RunPerDay,
		Used: duty.Used, SwapAt: quantity.MilligramsPerLitre(r.number("swap_mgL")), Weeks: weeks,
	}.Weekly()
	if err != nil {
		return nil, err
	}
	if log.Charges > 0 {
		perCharge = log.PerCharge.Litres()
	}
	return append(a, flushed, perCharge, log.Worst.Total().MilligramsPerLitre()), nil
}

// daysOrNothing is nothing for a rig that does not run.
func daysOrNothing(t quantity.Time) any {
	if t == 0 {
		return nil
	}
	return t.Days()
}
