package study

import (
	"fmt"

	"rinsewright/cost"
	"rinsewright/hydraulics"
	"rinsewright/quantity"
	"rinsewright/water"
	"rinsewright/working"
)

// Sources of formulas, as the working names them.
const (
	byArithmetic = "arithmetic"
	byBalance    = "mass balance"
)

func input(symbol, name string, value float64, unit string, origin working.Origin, step string) working.Input {
	return working.Input{Symbol: symbol, Name: name, Value: value, Unit: unit, Origin: origin, Step: step}
}

// told is the origin of a value that a site may have said.
func told[Q quantity.Quantity](e quantity.Entry[Q], read working.Origin) working.Origin {
	if e.Known {
		return read
	}
	return working.Assumed
}

// write fills the book: how every number of the base look came about, in the
// order the water meets the stations.
func (c *checking) write() {
	c.writeRaw()
	c.writeRig()
	c.writeDemand()
	c.writeResin()
	c.writeChlorine()
	c.writePressures()
	c.writePanel()
	c.writeMoney()
}

func (c *checking) writeRaw() {
	l := c.base
	sample, _ := sampleAt(c.site, "raw")
	if sample.Strength.PPM.Known {
		c.book.add(working.Step{
			Name: "conductivity of the raw water at 25 °C", Symbol: "k_raw", Value: l.raw.Read.MicrosiemensPerCm(), Unit: "µS/cm",
			Solved: "the conductivity of the salt solution that the pen's scale stands for, at the ppm it showed",
			Inputs: []working.Input{input("ppm", "pen reading, scale "+orWord(sample.Strength.Scale, "not known"), sample.Strength.PPM.Value.MilligramsPerLitre(), "ppm", working.Read, "")},
			Source: "ion-by-ion conductivity of the scale's salt, McCleskey, Nordstrom, Ryan and Ball 2012", Limits: "a pen's own accuracy, 2 % of its range",
		})
	}
	c.book.add(working.Step{
		Name: "carbon dioxide in the raw water", Symbol: "CO2_raw", Value: water.CarbonDioxideMass(l.raw.Solution.CO2()).MilligramsPerLitre(), Unit: "mg/L",
		Solved: "chemical equilibrium of the completed water at its pH and temperature",
		Inputs: []working.Input{
			input("pH", "pH", l.raw.Solution.PH, "", told(sample.PH, working.Read), ""),
			input("alk", "alkalinity", l.raw.Water.Alkalinity.AsCaCO3().MilligramsPerLitreCaCO3(), "mg/L as CaCO3", told(sample.Alkalinity, working.Read), ""),
			input("T", "temperature", l.raw.Water.Temperature.Celsius(), "°C", told(sample.Temperature, working.Read), ""),
		},
		Source: "ion association with the constants of a public-domain geochemical database", Limits: "pH read to ±0.1 moves it by about a quarter",
	})
}

// rawStrength is the raw water's conductivity as it was read, or as the
// analysis makes it.
func (c *checking) rawStrength() quantity.Conductivity {
	if c.base.raw.Read > 0 {
		return c.base.raw.Read
	}
	return c.base.raw.Conductivity
}

func orWord(s, word string) string {
	if s == "" {
		return word
	}
	return s
}

func (c *checking) writeRig() {
	l, p := c.base, c.base.today
	if c.site.Rig.Membrane == nil {
		c.writeStrengths("")
		c.writeRefill()
		return
	}
	element := c.book.add(working.Step{
		Name: "water permeability of the element at 25 °C", Symbol: "A", Value: float64(l.rig.element.WaterPermeability) * 3.6e11, Unit: "L/(m²·h·bar)",
		Solved: "the slice model run backwards at the data sheet's own test",
		Inputs: []working.Input{
			input("Q_t", "rated permeate flow", l.rig.element.Sheet.PermeateFlow.LitresPerMinute(), "L/min", told(c.site.Rig.Membrane.Flow, working.Reported), ""),
			input("R_t", "rejection at the test", float64(l.rig.element.Sheet.Rejection), "", told(c.site.Rig.Membrane.Rejection, working.Reported), ""),
			input("p_t", "pressure of the test", l.rig.element.Sheet.TestPressure.Bar(), "bar", told(c.site.Rig.Membrane.Pressure, working.Reported), ""),
		},
		Source: "solution-diffusion with film polarisation; Schock and Miquel 1987 for the film", Limits: "data sheets hold permeate flow to ±15 to 20 %",
	})
	permeate := c.book.add(working.Step{
		Name: "permeate flow today", Symbol: "Q_p", Value: p.Product().Flow.LitresPerMinute(), Unit: "L/min",
		Solved: "the flow at which tap, filters, membrane, restrictor and back-pressure agree",
		Inputs: c.pointInputs(element), Source: "balances of water and pressure over the stations", Limits: "pressures as read; a membrane as new",
	})
	feed := c.book.add(working.Step{
		Name: "feed flow today", Symbol: "Q_f", Value: p.Feed.Flow.LitresPerMinute(), Unit: "L/min",
		Solved: "found together with the permeate flow", Inputs: c.pointInputs(element), Source: "balances of water and pressure over the stations",
	})
	c.book.add(working.Step{
		Name: "recovery", Symbol: "Y", Value: float64(p.Recovery()), Unit: "", Formula: "Q_p / Q_f",
		Inputs: []working.Input{
			input("Q_p", "permeate flow", p.Product().Flow.LitresPerMinute(), "L/min", working.Computed, permeate),
			input("Q_f", "feed flow", p.Feed.Flow.LitresPerMinute(), "L/min", working.Computed, feed),
		}, Source: byBalance,
	})
	c.writeCold(element)
	c.writeStrengths(permeate)
	c.writeRefill()
}

// writeRefill is how long an empty tank takes.
func (c *checking) writeRefill() {
	l, p := c.base, c.base.today
	usable := l.store.tank.Usable()
	c.book.add(working.Step{
		Name: "time to refill from empty", Symbol: "t_f", Value: usable.Litres() / p.Product().Flow.LitresPerMinute() / 60, Unit: "h", Formula: "V / Q_p / 60",
		Inputs: []working.Input{
			input("V", "usable volume of the tank", usable.Litres(), "L", working.Computed, ""),
			input("Q_p", "permeate flow", p.Product().Flow.LitresPerMinute(), "L/min", working.Computed, c.book.of("Q_p")),
		}, Source: byBalance, Limits: "nobody rinsing meanwhile",
	})
}

func (c *checking) pointInputs(element string) []working.Input {
	l := c.base
	return []working.Input{
		input("p_s", "static pressure at the tap", staticOf(l).Bar(), "bar", told(c.site.Supply.StaticPressure, working.Read), ""),
		input("p_b", "back-pressure on the permeate side", l.today.BackPressure.Bar(), "bar", working.Computed, ""),
		input("T", "feed temperature", l.raw.Water.Temperature.Celsius(), "°C", working.Read, ""),
		input("A", "water permeability", float64(l.rig.element.WaterPermeability)*3.6e11, "L/(m²·h·bar)", working.Computed, element),
	}
}

func staticOf(l *look) quantity.Pressure {
	p, err := l.rig.pushes().Pressure(0)
	if err != nil {
		return 0
	}
	return p
}

func (c *checking) writeCold(element string) {
	c.book.add(working.Step{
		Name: "permeate flow in the coldest month", Symbol: "Q_cold", Value: quantity.Flow(coldestFlow(c, c.base)).LitresPerMinute(), Unit: "L/min",
		Solved: "the same balances at the coldest feed", Inputs: c.pointInputs(element),
		Source: "balances of water and pressure over the stations; Arrhenius form for temperature",
	})
}

func (c *checking) writeStrengths(permeate string) {
	l := c.base
	after := c.book.add(working.Step{
		Name: "strength after the membrane, at 25 °C", Symbol: "k_p", Value: l.permeate.at25.MicrosiemensPerCm(), Unit: "µS/cm",
		Solved: "ion by ion through the element, electroneutral; carbon dioxide passes as if there were no membrane",
		Inputs: []working.Input{
			input("k_raw", "strength of the feed", c.rawStrength().MicrosiemensPerCm(), "µS/cm", working.Computed, c.book.of("k_raw")),
			input("Q_p", "permeate flow", l.today.Product().Flow.LitresPerMinute(), "L/min", working.Computed, permeate),
		},
		Source: "solution-diffusion; relative permeabilities of the ions from memory, unverified", Limits: "rejection of a single element differs from its sheet",
	})
	if len(l.rig.beds) == 0 {
		return
	}
	c.book.add(working.Step{
		Name: "strength after the resin, at 25 °C", Symbol: "k_r", Value: l.polished.at25.MicrosiemensPerCm(), Unit: "µS/cm",
		Solved: "3 parts in 1000 of what enters slip through a bed in service; then equilibrium",
		Inputs: []working.Input{input("k_in", "strength before the resin", l.toResin().at25.MicrosiemensPerCm(), "µS/cm", working.Computed, after)},
		Source: "slip from memory, unverified", Limits: "until the bed's endpoint",
	})
}

func (c *checking) writeDemand() {
	l := c.base
	perVend := c.book.add(working.Step{
		Name: "water of one rinse", Symbol: "V_v", Value: l.demand.PerVend.Litres(), Unit: "L", Solved: "time of one gun times its flow, or the litres a vehicle takes, as told",
		Inputs: []working.Input{input("q_g", "gun flow", l.gunFlow(c.site).LitresPerMinute(), "L/min", told(c.site.Demand.GunFlow, working.Read), "")},
		Source: byArithmetic,
	})
	c.book.add(working.Step{
		Name: "water of a mean open day", Symbol: "V_d", Value: l.demand.OpenDay.Litres(), Unit: "L", Formula: "n * V_v / d",
		Inputs: []working.Input{
			input("n", "rinses in a year", l.demand.Vends, "", working.Computed, ""),
			input("V_v", "water of one rinse", l.demand.PerVend.Litres(), "L", working.Computed, perVend),
			input("d", "open days", float64(l.demand.OpenDays), "", working.Read, ""),
		}, Source: byArithmetic,
	})
	c.book.add(working.Step{
		Name: "to drain for each rinse", Symbol: "V_drain", Value: l.demand.PerVend.Litres() * (1/float64(l.today.Recovery()) - 1), Unit: "L", Formula: "V_v * (1 / Y - 1)",
		Inputs: []working.Input{
			input("V_v", "water of one rinse", l.demand.PerVend.Litres(), "L", working.Computed, perVend),
			input("Y", "recovery", float64(l.today.Recovery()), "", working.Computed, c.book.of("Y")),
		}, Source: byBalance,
	})
	c.book.add(working.Step{
		Name: "to drain on a mean open day", Symbol: "V_dd", Value: l.demand.OpenDay.Litres() * (1/float64(l.today.Recovery()) - 1), Unit: "L", Formula: "V_d * (1 / Y - 1)",
		Inputs: []working.Input{
			input("V_d", "water of a mean open day", l.demand.OpenDay.Litres(), "L", working.Computed, c.book.of("V_d")),
			input("Y", "recovery", float64(l.today.Recovery()), "", working.Computed, c.book.of("Y")),
		}, Source: byBalance,
	})
	c.book.add(working.Step{
		Name: "rinses that run short of water", Symbol: "s_short", Value: float64(c.years.ShortShare.Mean), Unit: "",
		Solved: fmt.Sprintf("every arrival, vend and float start of %d years, as exact events", c.years.Years),
		Inputs: []working.Input{
			input("V_d", "water of a mean open day", l.demand.OpenDay.Litres(), "L", working.Computed, c.book.of("V_d")),
			input("V", "usable volume of the tank", l.store.tank.Usable().Litres(), "L", working.Computed, ""),
			input("Q_p", "permeate flow", l.today.Product().Flow.LitresPerMinute(), "L/min", working.Computed, c.book.of("Q_p")),
		}, Source: "event simulation, checked against exact queueing results", Limits: "arrivals at random within each hour",
	})
	c.book.add(working.Step{
		Name: "membrane starts a day", Symbol: "n_s", Value: startsPerOpenDay(c, l), Unit: "per day", Formula: "N / d",
		Inputs: []working.Input{
			input("N", "starts in the simulated year", float64(l.year.Starts), "", working.Computed, ""),
			input("d", "open days", float64(l.demand.OpenDays), "", working.Read, ""),
		}, Source: byArithmetic,
	})
}

func (c *checking) writeResin() {
	l := c.base
	if l.unused {
		return
	}
	in, bed := l.inlet, l.rig.beds[0]
	load := c.book.add(working.Step{
		Name: "what a litre brings to the anion resin", Symbol: "L", Value: float64(in.AnionLoad()), Unit: "meq/L", Formula: "c_s + c_h + c_c + c_si + c_b + c_st",
		Inputs: []working.Input{
			input("c_s", "chloride, sulphate, nitrate", float64(in.StrongAnions), "meq/L", working.Computed, c.book.of("k_p")),
			input("c_h", "bicarbonate", float64(in.Bicarbonate), "meq/L", working.Computed, c.book.of("k_p")),
			input("c_c", "carbon dioxide", float64(in.CO2), "meq/L", working.Computed, c.book.of("CO2_raw")),
			input("c_si", "silica", float64(in.Silica), "meq/L", working.Computed, c.book.of("k_p")),
			input("c_b", "boron", float64(in.Borate), "meq/L", working.Computed, c.book.of("k_p")),
			input("c_st", "first minutes after starts", float64(in.Creep), "meq/L", working.Computed, c.book.of("n_s")),
		}, Source: "stoichiometry of exchange on hydroxide-form resin: one place for each carbon dioxide, bicarbonate and silica",
	})
	capacity, side, sideLoad := bed.AnionCapacity, "anion", float64(in.AnionLoad())
	if l.life.Ends == "cation" {
		capacity, side, sideLoad, load = bed.CationCapacity, "cation", float64(in.CationLoad()), c.writeCations()
	}
	volume := c.book.add(working.Step{
		Name: "water through one bottle of resin", Symbol: "V_r", Value: l.life.Volume.Litres(), Unit: "L", Formula: "u * Q * V_b / L",
		Inputs: []working.Input{
			input("u", "share of its places used at the endpoint", float64(bed.Utilisation), "", working.Assumed, ""),
			input("Q", side+" places of the bed", float64(capacity), "meq/L", working.Assumed, ""),
			input("V_b", "resin", bed.Volume.Litres(), "L", told(c.site.Rig.Resin[0].Volume, working.Reported), ""),
			input("L", "load on the "+side+" resin", sideLoad, "meq/L", working.Computed, load),
		}, Source: "mass balance on the bed; capacity common practice, no source", Limits: "a bottle about which nothing else is known: ±14 %",
	})
	c.writeDays(volume)
}

func (c *checking) writeCations() string {
	in := c.base.inlet
	return c.book.add(working.Step{
		Name: "what a litre brings to the cation resin", Symbol: "L_c", Value: float64(in.CationLoad()), Unit: "meq/L", Formula: "c_s + c_n + c_st",
		Inputs: []working.Input{
			input("c_s", "calcium, magnesium, sodium, potassium", float64(in.StrongCations), "meq/L", working.Computed, c.book.of("k_p")),
			input("c_n", "ammonium", float64(in.Ammonia), "meq/L", working.Computed, c.book.of("k_p")),
			input("c_st", "first minutes after starts", float64(in.Creep), "meq/L", working.Computed, c.book.of("n_s")),
		}, Source: "stoichiometry of exchange on hydrogen-form resin",
	})
}

func (c *checking) writeDays(volume string) {
	l, bed := c.base, c.base.rig.beds[0]
	day := input("V_d", "water of a mean open day", l.demand.OpenDay.Litres(), "L", working.Computed, c.book.of("V_d"))
	c.book.add(working.Step{
		Name: "one bottle of resin lasts, in open days", Symbol: "t_r", Value: float64(l.life.Volume) / float64(l.demand.OpenDay), Unit: "d", Formula: "V_r / V_d",
		Inputs: []working.Input{input("V_r", "water through one bottle", l.life.Volume.Litres(), "L", working.Computed, volume), day}, Source: byArithmetic,
	})
	pen := float64(bed.Label) * float64(bed.Volume) / float64(l.label) * 1e3 // ppm that the label's rule was given
	label := c.book.add(working.Step{
		Name: "what the label and the pen promise", Symbol: "V_l", Value: l.label.Litres(), Unit: "L", Formula: "G * V_b / ppm",
		Inputs: []working.Input{
			input("G", "label's capacity as CaCO3", float64(bed.Label)*1e3, "mg/L of bed", working.Reported, ""),
			input("V_b", "resin", bed.Volume.Litres(), "L", told(c.site.Rig.Resin[0].Volume, working.Reported), ""),
			input("ppm", "pen before the resin, NaCl scale", pen, "ppm", working.Computed, c.book.of("k_p")),
		}, Source: "the trade's ppm-gallons rule: common practice, no source", Limits: "counts only what the pen sees",
	})
	c.book.add(working.Step{
		Name: "the label's promise in open days", Symbol: "t_l", Value: float64(l.label) / float64(l.demand.OpenDay), Unit: "d", Formula: "V_l / V_d",
		Inputs: []working.Input{input("V_l", "label's promise", l.label.Litres(), "L", working.Computed, label), day}, Source: byArithmetic,
	})
}

func (c *checking) writeChlorine() {
	l := c.base
	if l.rig.carbon == nil || !(l.supplied() > 0) {
		return
	}
	contact, err := l.rig.carbon.ContactTime(l.supplied())
	if err != nil {
		return
	}
	c.book.add(working.Step{
		Name: "contact with the carbon, empty bed", Symbol: "t_c", Value: float64(contact), Unit: "s", Formula: "V_c / Q_f * 60",
		Inputs: []working.Input{
			input("V_c", "carbon", l.rig.carbon.Volume.Litres(), "L", told(c.site.Rig.Carbon.Volume, working.Reported), ""),
			input("Q_f", "feed flow: all of it passes the carbon", l.supplied().LitresPerMinute(), "L/min", working.Computed, c.book.of("Q_f")),
		}, Source: "definition",
	})
}

func (c *checking) writeMoney() {
	prices := pricesOf(c.site.Prices, c.notes)
	var inputs []working.Input
	sum := ""
	for i, line := range c.cost.Lines {
		symbol := fmt.Sprintf("c_%d", i+1)
		inputs = append(inputs, input(symbol, line.Name, float64(line.Amount)/100, prices.Currency, working.Computed, c.writeLine(symbol, line, prices.Currency)))
		if sum += symbol; i < len(c.cost.Lines)-1 {
			sum += " + "
		}
	}
	if len(inputs) == 0 {
		return
	}
	year := c.book.add(working.Step{
		Name: "cost of a year", Symbol: "c_year", Value: float64(c.cost.Total) / 100, Unit: prices.Currency, Formula: sum, Inputs: inputs,
		Source: "price list and amounts of a year", Limits: "filters and carbon twice a year, an element every four: habits",
	})
	c.book.add(working.Step{
		Name: "cost of a rinse", Symbol: "c_rinse", Value: c.cost.PerRinseExact / 100, Unit: prices.Currency, Formula: "c_year / n",
		Inputs: []working.Input{
			input("c_year", "cost of a year", float64(c.cost.Total)/100, prices.Currency, working.Computed, year),
			input("n", "rinses in a year", c.base.demand.Vends, "", working.Computed, ""),
		}, Source: byArithmetic,
	})
}

// writeLine is one line of the yearly cost, rounded to the minor unit.
func (c *checking) writeLine(symbol string, line cost.Line, currency string) string {
	return c.book.add(working.Step{
		Name: "a year's " + line.Name, Symbol: symbol, Value: float64(line.Amount) / 100, Unit: currency, Formula: "floor(100 * n * p + 0.5) / 100",
		Inputs: []working.Input{
			input("n", "in a year, "+line.Unit, line.Number, line.Unit, working.Computed, ""),
			input("p", "price of one", float64(line.Price)/100, currency, working.Reported, ""),
		}, Source: byArithmetic,
	})
}

// writePressures is what the gauges along the feed would show.
func (c *checking) writePressures() {
	l := c.base
	feed := input("Q_f", "feed flow", l.supplied().LitresPerMinute(), "L/min", working.Computed, c.book.of("Q_f"))
	main := l.rig.main
	if !main.Assumed() {
		c.book.add(working.Step{
			Name: "pressure at the tap while the rig runs", Symbol: "p_tap", Value: c.tapPressure().Bar(), Unit: "bar", Formula: "p_s - (p_s - p_r) * (Q_f / Q_r) ^ 1.85",
			Inputs: []working.Input{
				input("p_s", "static pressure", main.Static.Bar(), "bar", told(c.site.Supply.StaticPressure, working.Read), ""),
				input("p_r", "running pressure", main.RunningPressure.Bar(), "bar", told(c.site.Supply.RunningPressure, working.Read), ""),
				input("Q_r", "flow at which it was read", main.RunningFlow.LitresPerMinute(), "L/min", told(c.site.Supply.RunningFlow, working.Read), ""), feed,
			}, Source: "two readings of the main, joined by the usual power of flow",
		})
	} else {
		c.book.add(working.Step{
			Name: "pressure at the tap while the rig runs", Symbol: "p_tap", Value: c.tapPressure().Bar(), Unit: "bar",
			Solved: "an assumed drop of the main, since only its static pressure was read", Inputs: []working.Input{feed}, Source: "common practice, no source",
		})
	}
	for i, part := range l.rig.plant.FeedSide {
		filter, ok := part.Resistance.(hydraulics.Filter)
		if !ok || i >= len(l.today.FeedLosses) {
			continue
		}
		c.book.add(working.Step{
			Name: "pressure that the " + part.Name + " takes", Symbol: fmt.Sprintf("d_%d", i+1), Value: l.today.FeedLosses[i].Drop.Bar(), Unit: "bar", Formula: "d_r * (Q_f / Q_r) ^ m",
			Inputs: []working.Input{
				input("d_r", "drop as it was read", filter.CleanDrop.Bar(), "bar", working.Read, ""),
				input("Q_r", "flow at which it was read", filter.RatedFlow.LitresPerMinute(), "L/min", working.Read, ""),
				input("m", "power of the flow", exponentOf(filter), "", working.Assumed, ""), feed,
			}, Source: "common practice, no source",
		})
	}
	c.writeBack()
}

func exponentOf(f hydraulics.Filter) float64 {
	if f.Exponent == 0 {
		return hydraulics.FilterExponent
	}
	return f.Exponent
}

func (c *checking) writeBack() {
	l := c.base
	c.book.add(working.Step{
		Name: "back-pressure of the tank, mean while it fills", Symbol: "p_back", Value: l.store.back.Bar(), Unit: "bar",
		Solved: "Boyle's law over the switch band of a pressurised tank; 0 for a vented one",
		Inputs: []working.Input{input("V_t", "tank", l.store.volume.Litres(), "L", working.Reported, "")}, Source: "Boyle's law",
	})
	c.book.add(working.Step{
		Name: "flow of each gun with all of them open", Symbol: "q_n", Value: l.delivery.GunFlow.LitresPerMinute(), Unit: "L/min",
		Solved: "the flow at which pump or tank, line, rise and guns agree",
		Inputs: []working.Input{
			input("q_g", "flow of one gun alone", l.gunFlow(c.site).LitresPerMinute(), "L/min", told(c.site.Demand.GunFlow, working.Read), ""),
			input("p_d", "pressure that pushes", l.delivery.SupplyPressure.Bar(), "bar", working.Computed, ""),
		}, Source: "Darcy and Weisbach with Colebrook's friction",
	})
}

// tapPressure is what a gauge at the tap shows while the rig runs.
func (c *checking) tapPressure() quantity.Pressure {
	p, err := c.base.rig.main.Pressure(c.base.supplied())
	if err != nil {
		return 0
	}
	return p
}

// writePanel is what stays on the panel.
func (c *checking) writePanel() {
	d, l := c.base.dried, c.base
	if !d.known {
		return
	}
	wash, gun := l.raw.Water.DissolvedSolids(), l.gun.water.DissolvedSolids()
	laid := c.book.add(working.Step{
		Name: "rinse laid on the panel", Symbol: "v", Value: float64(d.rinse) * 1e3, Unit: "L/m²", Formula: "V_v / S",
		Inputs: []working.Input{
			input("V_v", "water of one rinse", l.demand.PerVend.Litres(), "L", working.Computed, c.book.of("V_v")),
			input("S", "outside area", float64(d.area), "m²", working.Assumed, ""),
		}, Source: byArithmetic,
	})
	film := c.book.add(working.Step{
		Name: "strength of the film at the end of the rinse", Symbol: "C_e", Value: d.film.MilligramsPerLitre(), Unit: "mg/L", Formula: "C_g + (C_w - C_g) * exp(-v / h)",
		Inputs: []working.Input{
			input("C_g", "dissolved solids at the gun", min(gun, wash).MilligramsPerLitre(), "mg/L", working.Computed, ""),
			input("C_w", "of the wash film: as strong as the raw water", wash.MilligramsPerLitre(), "mg/L", working.Assumed, ""),
			input("v", "rinse laid on the panel", float64(d.rinse)*1e3, "L/m²", working.Computed, laid),
			input("h", "film while it runs", float64(runningFilm)*1e3, "L/m²", working.Assumed, ""),
		}, Source: "displacement of a mixed film; common practice, no source", Limits: "a panel that sheets; a beading one holds drops",
	})
	c.book.add(working.Step{
		Name: "left on the panel when it has dried", Symbol: "m_r", Value: d.left.MilligramsPerSquareMetre(), Unit: "mg/m²", Formula: "f * C_e",
		Inputs: []working.Input{
			input("f", "film that stays to dry", float64(dryingFilm)*1e3, "L/m²", working.Assumed, ""),
			input("C_e", "its strength", d.film.MilligramsPerLitre(), "mg/L", working.Computed, film),
		}, Source: byBalance,
	})
}
