package cli

// What hangs on the wall, in path order, and what the place allows.

var filterRound = round{title: "Cartridge filters", times: 6, questions: []question{
	{
		key:  "filter",
		ask:  "Is there a cartridge filter ahead of the membrane?",
		more: "Is there another cartridge filter behind it?",
		why:  "It takes pressure from the membrane, more as it loads.",
		how:  "Count the housings that hold a plain white or wound cartridge.",
	},
	{key: "filter.rating", ask: "Which rating does the cartridge have?", why: "It tells what it holds back.", how: "It is printed on the cartridge or its box."},
	{
		key: "filter.drop", minutes: 3, care: careGauge,
		ask: "How much pressure drops across it while it runs?",
		why: "A loaded filter starves the membrane.",
		how: "Read one gauge before and after. Move the same gauge: two gauges differ by more than the drop.",
	},
	{
		key: "filter.flow", minutes: 2, when: []string{"filter.drop"},
		ask: "At which flow?", why: "The drop belongs to this flow.", how: "Add what goes to the tank and what goes to the drain, by bucket.",
	},
}}

var carbonRound = round{title: "Carbon and softener", questions: []question{
	{key: "carbon", ask: "Is there carbon ahead of the membrane?", why: "It takes out the chlorine that would eat the membrane.", how: "Look for a black block in a housing, or a tall bottle without a brine tank."},
	{key: "carbon.kind", ask: "Which kind of carbon?", why: "A block is fast, granular carbon is slower, catalytic carbon takes chloramine.", how: "It is on the label. A cartridge is mostly a block."},
	{key: "carbon.volume", ask: "How much carbon is it?", why: "Contact time is volume over flow.", how: "A 10 inch cartridge holds about 0.02 ft3, a 20 inch one about 0.04 ft3. For a bottle, read the label."},
	{key: "carbon.passed", ask: "How much feed water has passed it since it was new?", why: "It tells how much of it is used up.", how: "Read a meter. Count what went to the drain as well."},
	{key: "softener", ask: "Is there a softener ahead of the membrane?", why: "It lets more of the feed become rinse water.", how: "Look for a bottle with a brine tank beside it."},
	{key: "softener.resin", ask: "How much resin does the softener hold?", why: "It tells how much hardness it takes before it regenerates.", how: "It is on the label of the bottle or its valve."},
	{key: "softener.salt_dose", ask: "How much salt does one regeneration take?", why: "Salt buys capacity.", how: "Read the setting of the valve.", care: careElectricity},
	{key: "booster", ask: "Is there a pump ahead of the membrane?", why: "It gives the membrane its pressure.", how: "Look for a pump between the filters and the membrane.", care: careElectricity},
	pumpQuestion("booster.flow", "How much does this pump give at its duty?", "Read its plate or its curve."),
	pumpQuestion("booster.pressure", "By how much does it raise the pressure there?", "Read its plate or its curve, or one gauge before and after it."),
	pumpQuestion("booster.shut_off", "And with the outlet closed?", "Read the end of its curve. Do not close the outlet to find out."),
	pumpQuestion("booster.power", "Which power does its plate say?", "Read the plate."),
	pumpQuestion("booster.efficiency", "Which efficiency does its sheet say, wire to water?", "Small pumps have 25 to 45 %."),
}}

func pumpQuestion(key, ask, how string) question {
	return question{key: key, ask: ask, how: how, care: careElectricity, why: "A pump is told by its curve: two points of it are enough."}
}

var membraneRound = round{title: "The membrane, from its data sheet", questions: []question{
	{key: "membrane", ask: "Is there a membrane?", why: "Without one there is nothing for check to judge.", how: "Look for a long white tube with three hoses."},
	{
		key: "membrane.count", first: true, none: "membrane",
		ask: "How many membrane elements hang there? Say none when there is no membrane.",
		why: "It tells what the rig can make.",
		how: "Count the long tubes with three hoses. One tube mostly holds one element.",
	},
	{
		key: "membrane.parallel", when: []string{"membrane.count", "membrane.count!=1"},
		ask: "Do they hang side by side, each with its own feed and drain?",
		why: "One after another, the next element gets what the last one refused.",
		how: "Follow the drain hose: if it feeds the next element, the answer is no.",
	},
	{key: "membrane.size", ask: "Which size is an element?", why: "It names the data sheet.", how: "Four digits on the label: 2540 is 2.5 inches thick and 40 inches long."},
	{key: "membrane.flow", ask: "How much does one element make, by its data sheet?", why: "With the test below it tells how easily water passes.", how: "Permeate flow on the label or the sheet, often in gpd."},
	{key: "membrane.rejection", ask: "Which salt rejection does the sheet say?", why: "It tells how much salt passes.", how: "Stabilised rejection on the sheet, in percent."},
	{key: "membrane.pressure", ask: "At which pressure was that tested?", why: "The flow means nothing without its pressure.", how: "In the test conditions of the sheet."},
	{key: "membrane.test_salt", ask: "With how much salt in the test?", why: "Salt pushes back.", how: "In the test conditions of the sheet."},
	{key: "membrane.temperature", ask: "At which temperature?", why: "Warm water passes more easily; nearly every sheet says 77 F.", how: "In the test conditions of the sheet."},
	{key: "membrane.recovery", ask: "At which recovery?", why: "It tells how strong the water was along the element.", how: "In the test conditions of the sheet."},
	{key: "membrane.area", ask: "Which active area does one element have?", why: "It tells how hard each square foot works.", how: "On the sheet; a 2540 has 26 to 28 ft2."},
	{key: "membrane.age", ask: "How old is it?", why: "An old membrane makes less or lets more through.", how: "Look for a date on the housing, or ask. Say it in days, weeks or years."},
}}

var restrictorRound = round{title: "The restrictor in the drain line", questions: []question{
	{key: "restrictor", when: []string{"membrane"}, ask: "Is there a restrictor or a valve in the membrane's drain line?", why: "It holds the pressure on the membrane. Many bad membranes are a missing restrictor.", how: "Follow the drain hose to a small insert, a coil of thin tube, or a needle valve."},
	{key: "restrictor.kind", ask: "Which kind is it?", why: "Each kind answers to pressure in its own way.", how: "An insert is fixed, a valve with a knob is a needle, a coil is a capillary."},
	{key: "restrictor.flow", minutes: 3, when: []string{"restrictor.kind!=capillary"}, ask: "Which flow goes through it to the drain?", why: "It tells how much of the feed is lost.", how: "Hold a measuring jug under the drain line for a minute while the membrane runs."},
	{key: "restrictor.pressure", when: []string{"restrictor.flow"}, ask: "At which pressure has it that flow?", why: "The flow belongs to this pressure.", how: "The gauge at the membrane while you measured, or what is printed beside its flow.", care: careGauge},
	{key: "restrictor.recovery", when: []string{"!restrictor.flow", "restrictor.kind!=capillary"}, ask: "Or which recovery was it set to on site?", why: "It stands in for the flow.", how: "Permeate over feed, as the one who set it wrote down."},
	{key: "restrictor.bore", when: []string{"restrictor.kind=capillary"}, with: "restrictor.length", ask: "Which bore has the capillary?", why: "Bore and length tell its flow at any pressure.", how: "From its label; no tape measures it.", care: careHousing},
	{key: "restrictor.length", when: []string{"restrictor.bore"}, with: "restrictor.bore", minutes: 2, ask: "How long is the capillary?", why: "Bore and length tell its flow at any pressure.", how: "Lay it along a tape."},
}}

var resinRound = round{title: "Resin bottles", times: 4, questions: []question{
	{
		key:  "resin",
		ask:  "Is there a bottle of mixed-bed resin?",
		more: "Is there another bottle behind it?",
		why:  "It takes out what the membrane lets through.",
		how:  "Look for a bottle or a housing with coloured beads behind the membrane.",
	},
	{
		key: "resin.volume", first: true, none: "resin", care: careHeavy,
		ask:  "How much resin is in the first bottle? Say none when there is no resin.",
		more: "How much resin is in this bottle?",
		why:  "How long it lasts is its volume over what loads it.",
		how:  "It is on the label. A bottle 9 inches thick and 48 high holds about 1.5 ft3 at most.",
	},
	{key: "resin.place", when: []string{"tank"}, ask: "Does it hang before or after the tank?", why: "Behind a vented tank the gas has left: the bottle lasts longer.", how: "Follow the hose from the membrane."},
	{key: "resin.made", ask: "Is its filling new or regenerated?", why: "Regenerated resin holds about a tenth less.", how: "The exchange label says it, or the supplier."},
}}

var tankRound = round{title: "The tank", questions: []question{
	{key: "tank", ask: "Is there a tank?", why: "It carries the busy hour.", how: "Look behind the membrane."},
	{
		key: "tank.kind", first: true, none: "tank",
		ask: "Which kind of tank is there? Say none when there is no tank.",
		why: "A pressurised tank pushes back on the membrane: it makes less and lets more salt through.",
		how: "A vented tank has a lid and floats. A pressurised one is a steel bottle with an air valve.",
	},
	{key: "tank.volume", care: careTank, minutes: 1, ask: "How much does the tank hold?", why: "It carries the busiest day.", how: "It is printed on it. Or measure: diameter in feet, squared, times height in feet, times 5.9 is gallons."},
	{key: "tank.stop", when: []string{"tank.kind!=pressurised"}, care: careTank, minutes: 2, ask: "How much is in it when the float stops the membrane?", why: "The water between stop and start decides how often the membrane starts.", how: "Tape the height of the water, and take that share of the whole."},
	{key: "tank.start", when: []string{"tank.kind!=pressurised"}, care: careTank, minutes: 2, ask: "And how much when it starts again?", why: "Each start sends a slug of stronger water to the resin: few long runs are better.", how: "Draw water until the membrane starts, and tape the height."},
	{key: "tank.low_cut", when: []string{"tank.kind!=pressurised"}, care: careElectricity, ask: "And how much when the pump is cut off?", why: "Below it there is no water to sell.", how: "The height of the low float or switch, from outside."},
	{key: "tank.height", minutes: 1, ask: "How far is its inlet above the membrane?", why: "Water standing above the membrane pushes back.", how: "Use a tape."},
	{key: "tank.aerated", when: []string{"tank.kind!=pressurised"}, ask: "Does a fan or a spray bring air through it?", why: "Air takes carbon dioxide out, and resin behind it lasts longer.", how: "Look under the lid and at the vent, from outside.", care: careTank},
	{key: "tank.precharge", when: []string{"tank.kind=pressurised"}, minutes: 5, care: careHousing, ask: "Which air pressure has it when it is empty of water?", why: "It decides how much water there is between start and stop.", how: "Let the water out, then put a tyre gauge on the air valve."},
	{key: "tank.start_at", when: []string{"tank.kind=pressurised"}, minutes: 3, care: careGauge, ask: "At which pressure does the membrane start?", why: "The tank's pressure is what the membrane works against.", how: "Draw water and watch the gauge on the tank's line."},
	{key: "tank.stop_at", when: []string{"tank.kind=pressurised"}, minutes: 3, care: careGauge, ask: "And at which pressure does it stop?", why: "Near the stop the membrane makes least.", how: "Watch the same gauge until the drain goes quiet."},
}}

var pumpRound = round{title: "The pump to the guns", questions: []question{
	{key: "pump", ask: "Is there a pump that delivers to the guns?", why: "It makes the pressure at the gun.", how: "Look between the tank and the bays.", care: careElectricity},
	pumpQuestion("pump.flow", "How much does this pump give at its duty?", "Read its plate or its curve."),
	pumpQuestion("pump.pressure", "By how much does it raise the pressure there?", "Read its plate or its curve."),
	pumpQuestion("pump.shut_off", "And with the outlet closed?", "Read the end of its curve, or the gauge when every trigger is shut."),
	pumpQuestion("pump.power", "Which power does its plate say?", "Read the plate."),
	pumpQuestion("pump.efficiency", "Which efficiency does its sheet say, wire to water?", "Small pumps have 25 to 45 %."),
}}

var lineRound = round{title: "The line", questions: []question{
	{key: "line", ask: "Can you see the tubes from the tank to the guns?", why: "A thin tube eats the pressure.", how: "Walk along it once."},
	{key: "line.tube", ask: "Which tube goes to the guns?", why: "Half the bore takes about thirty times the pressure.", how: "It is printed on the tube, in inches."},
	{key: "line.length", minutes: 3, ask: "How long is it to the farthest gun?", why: "Loss grows with length.", how: "Pace it."},
	{key: "line.rise", ask: "How far is the gun above the tank?", why: "Ten feet of height take 4.3 psi.", how: "Guess to a foot."},
	{key: "line.permeate_tube", when: []string{"membrane"}, ask: "Which tube goes from the membrane to the tank?", why: "What it loses pushes back on the membrane.", how: "It is printed on the tube, in inches."},
	{key: "line.permeate_length", when: []string{"line.permeate_tube"}, minutes: 1, ask: "How long is that one?", why: "Loss grows with length.", how: "Use a tape."},
}}

const (
	onePen  = "The same pen as at the tap is best: its scale is then the same."
	runLong = "Let the membrane run for 20 minutes first: the first minutes are always high."
)

var afterMembraneRound = round{title: "Readings after the membrane", questions: []question{
	{
		key: "sample.strength", place: "permeate", when: []string{"membrane"}, or: "sample.conductivity", minutes: 20, care: careHousing,
		ask: "What does the pen show after the membrane, ahead of any resin?", why: "It shows whether the membrane does what its sheet promises.", how: runLong + " " + onePen,
	},
	{key: "sample.scale", place: "permeate", when: []string{"sample:permeate.strength"}, ask: "Which scale was the pen on there?", why: "Two scales differ by a third.", how: onePen},
	{key: "sample.running", place: "permeate", when: []string{"sample:permeate"}, ask: "For how long had the membrane run?", why: "A reading of the first minutes says little.", how: "Look at the clock when it starts."},
	{key: "sample.temperature", place: "permeate", when: []string{"sample:permeate"}, minutes: 1, ask: "How warm was it there?", why: "Warm water lets more salt through.", how: "Most pens show it."},
}}

var afterResinRound = round{title: "Readings after the resin", questions: []question{
	{
		key: "sample.strength", place: "polished", when: []string{"resin"}, or: "sample.conductivity", minutes: 2, care: careHousing,
		ask: "What does the pen show after the resin?", why: "It shows whether the resin is used up.", how: "Let a gallon run first. A reading of 0 is fine: it means less than half a digit.",
	},
	{key: "sample.scale", place: "polished", when: []string{"sample:polished.strength"}, ask: "Which scale was the pen on there?", why: "Two scales differ by a third.", how: onePen},
}}

var gunRound = round{title: "Readings at the gun", questions: []question{
	{
		key: "sample.strength", place: "gun", or: "sample.conductivity", minutes: 3,
		ask: "What does the pen show at the gun tip?", why: "If it is more than in the tank, something else gets into the line.", how: "Run the gun for a minute at low pressure, away from people, and catch a cup.", care: "Never hold a hand or a cup close before a high pressure gun.",
	},
	{key: "sample.scale", place: "gun", when: []string{"sample:gun.strength"}, ask: "Which scale was the pen on there?", why: "Two scales differ by a third.", how: onePen},
}}

var limitRound = round{title: "What the place allows", questions: []question{
	{key: "limits.drain_flow", minutes: 3, ask: "How much does the drain take?", why: "What the membrane refuses has to go somewhere lawful.", how: "Pour a bucket by the clock. A storm drain does not count: ask for the sewer."},
	{key: "limits.circuit", ask: "How much power does the circuit give?", why: "It limits the pump.", how: "Breaker amps times volts, from its label. An electrician knows what else hangs on it.", care: careElectricity},
	{key: "limits.door", minutes: 1, ask: "How wide is the narrowest way in?", why: "A tank has to pass it.", how: "Use a tape."},
}}

const (
	kgal = "per 1000 gal"
	ft3  = "per ft3"
)

var priceRound = round{title: "Prices, from your own list", questions: []question{
	{key: "prices.currency", ask: "In which currency are your prices?", why: "It stands behind every amount.", how: "Three letters."},
	priceQuestion("water", "What does the water cost per m³?", `From the bill. A US bill: answer "5.70 per 1000 gal".`, "prices.water_per_1000_gal", kgal),
	priceQuestion("sewer", "What does the sewer cost per m³?", `From the bill. A US bill: answer "6.40 per 1000 gal".`, "prices.sewer_per_1000_gal", kgal),
	priceQuestion("power", "What does a kWh cost?", "From the bill.", "", ""),
	priceQuestion("resin", "What does exchanged resin cost per litre?", `From your supplier. For a cubic foot: answer "220 per ft3".`, "prices.resin_per_ft3", ft3),
	priceQuestion("filter", "What does a filter cartridge cost?", "From your supplier.", "", ""),
	priceQuestion("carbon", "What does a change of carbon cost?", "From your supplier.", "", ""),
	priceQuestion("membrane", "What does a membrane element cost?", "From your supplier.", "", ""),
	priceQuestion("salt", "What does softener salt cost per kg?", "From the bag.", "", ""),
	priceQuestion("labour", "What does an hour of work cost?", "Your own rate.", "", ""),
	priceQuestion("visit", "What does the drive for one visit cost?", "Your own rate.", "", ""),
}}

func priceQuestion(name, ask, how, or, ending string) question {
	return question{key: "prices." + name, ask: ask, how: how, or: or, ending: ending, why: "It makes the money of a year. Left out, a round figure is taken, and said."}
}

// fileOnly are the keys that the survey leaves to the site file, and why.
var fileOnly = map[string]string{
	"controls.flush_valve": "it belongs to a flush, which the file tells",
	"site.area":            "it groups sites of a fleet for trips, which one site's survey does not see",
	"site.coldest_night":   "it stands in a table of the climate, not on site; only the first frost of the seasons needs it",
	"supply.coldest_month": "it is February where it is left out; south of the equator it is written once, 8",
	"site.origin":          "it marks a record as invented or imported, which a survey is not",
	"sample.place":         "it follows from where the question is asked",
	"filter.price":         "the price list asks once for all filters",
	"carbon.price":         "the price list asks for it",
	"carbon.drop":          "carbon takes little, and its kind and volume tell about how much",
	"carbon.flow":          "it belongs to carbon.drop",
	"membrane.length":      "it is on the data sheet, and the size tells it well enough on site",
	"membrane.price":       "the price list asks for it",
	"resin.price":          "the price list asks for it",
	"row":                  "unlike rows are rare, and each is a data sheet of its own",
	"recycle":              "few rigs have one; its flow needs a meter",
	"second_pass":          "few rigs have one, and it is a data sheet of its own",
	"second_pump":          "it belongs to a second pass",
	"flush":                "few rigs have one; its flow is on the valve's sheet",
	"commissioning":        "the first day is put on record by prove, not asked for at a survey",
	"visit":                "the log is kept visit by visit, not asked for at a survey",
	"prices.tax":           "it depends on what is sold and where; the seller knows",
	"prices.finance_rate":  "a lender tells it, and few quotes offer a loan",
	"prices.finance_years": "it belongs to a loan",
	"prices.date":          "it is the price list's day, not something asked on site",
	"prices.night_power":   "few meters count the night apart; who has one knows the key",
	"prices.disposal":      "most bottles are exchanged, and nothing is thrown away",
}
