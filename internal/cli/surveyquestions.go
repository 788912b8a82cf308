package cli

// question is one thing that the survey asks, as data: which key of the site
// file it fills, the words it is asked in, and what "?" says of it. What a key
// may be and an example of it stand in the site file's own schema.
type question struct {
	key     string   // "supply.static_pressure"; a part such as "carbon" is asked yes or no
	ask     string   // the question
	more    string   // the question for a second and later one of a list
	why     string   // what it is for
	how     string   // how to take it, with what
	care    string   // the caution of a step that can hurt, said at the question
	minutes float64  // to take it; 0 when it is known or read off a label
	place   string   // of the sample that a sample key belongs to
	first   bool     // one of the ten that are enough for check
	none    string   // the part that is not there when the answer is "none"
	when    []string // asked only when all of these hold: "tank", "!tank", "tank.kind=vented", "sample:raw.strength"
	with    string   // a key that makes no sense without this one, and the other way round
	or      string   // the key that takes the answer when this one does not
	ending  string   // what an answer for or ends with, "per 1000 gal"
	kit     string   // what may be left unsaid in the unit, "as CaCO3"
}

// part tells whether a question is for a part as a whole.
func (q question) part() bool {
	for _, r := range q.key {
		if r == '.' {
			return false
		}
	}
	return true
}

// round is the questions that belong together on site. With times the whole
// round is asked for one after the other of a list.
type round struct {
	title     string
	times     int
	questions []question
}

const (
	careGauge       = "Open the valve slowly and stand aside of the gauge. Let the pressure off before you unscrew it."
	careKit         = "Wear gloves and glasses with test drops, and never pour a test back."
	careElectricity = "Keep wet hands and meters away from pumps and sockets. Leave every cover shut: that is a licensed electrician's work."
	careHousing     = "Close the feed and let the pressure off before you open a housing or a fitting."
	careTank        = "Read a tank from outside. Never climb into one."
	careHeavy       = "A resin bottle is heavy: a cubic foot of wet resin weighs about 50 lb, its bottle and water come on top. Do not lift it alone."
)

// rounds are all questions in the order things are met on site. The ten marked
// first come before all others.
var rounds = []round{
	placeRound, tapRound, rawRound, reportRound, busyRound, filterRound, carbonRound, membraneRound, restrictorRound,
	resinRound, tankRound, pumpRound, lineRound, controlRound, afterMembraneRound, afterResinRound, gunRound, limitRound, priceRound,
}

var placeRound = round{title: "The place", questions: []question{
	{
		key: "site.name", first: true,
		ask: "What is the place called?",
		why: "It stands on every paper.",
		how: "Take the name that the owner uses.",
	},
	{
		key: "site.use",
		ask: "What gets rinsed?",
		why: "Glass shows less than gelcoat: the strength that is good enough follows from it.",
		how: "Name what most of the rinses are for.",
	},
	{
		key: "site.target",
		ask: "Which strength does the owner want at the gun, on the NaCl scale?",
		why: "Everything is judged against it. Left out, the usual strength for what gets rinsed is taken.",
		how: "Ask what shows spots today, and what does not.",
	},
	{
		key: "site.about",
		ask: "What is its story, in a sentence or two?",
		why: "The next person who opens the file knows why you came.",
		how: "Say what was complained of, and since when.",
	},
}}

var tapRound = round{title: "The tap", questions: []question{
	{
		key: "supply.source", first: true,
		ask: "Where does the water come from?",
		why: "A utility leaves a disinfectant in the water. A well brings iron, sulphide and carbon dioxide.",
		how: "Ask the owner, or look for a meter or a well tank.",
	},
	{
		key: "supply.disinfectant",
		ask: "What does the utility leave in the water?",
		why: "Chlorine eats the membrane. Chloramine needs far more carbon than chlorine.",
		how: "The utility's yearly report says it. If the total chlorine test shows far more than the free one, it is chloramine.",
	},
	{
		key: "supply.switch_weeks", when: []string{"supply.disinfectant=chloramine"},
		ask: "How many weeks a year does the utility switch to free chlorine?",
		why: "In those weeks the carbon and the membrane get another load.",
		how: "The utility sends a notice; ask for last year's.",
	},
	{
		key: "supply.static_pressure", first: true, minutes: 2, care: careGauge,
		ask: "What does a gauge at the tap show with nothing running?",
		why: "It is all the push the membrane gets when there is no pump ahead of it.",
		how: "Screw a gauge on the nearest hose tap, close everything else, and open the tap.",
	},
	{
		key: "supply.running_pressure", minutes: 5, care: careGauge, with: "supply.running_flow",
		ask: "What does the same gauge show while water runs?",
		why: "Static pressure alone hides a weak supply: 60 psi at rest may be 28 psi when it runs.",
		how: "Put the gauge on a tee. Let a second tap on the same pipe run into a bucket, and read.",
	},
	{
		key: "supply.running_flow", minutes: 2, when: []string{"supply.running_pressure"}, with: "supply.running_pressure",
		ask: "How much ran then?",
		why: "The drop in pressure belongs to this flow.",
		how: "Time a five gallon bucket: 75 seconds is 4 gpm.",
	},
	{
		key: "supply.coldest",
		ask: "How cold is the feed in the coldest month?",
		why: "Cold feed makes a third to a half less water. The coldest month sizes the membrane.",
		how: "Ask the utility, or read the tap in January after five minutes of running. A well stays near the year's mean.",
	},
	{
		key: "supply.warmest",
		ask: "How warm is the feed in the warmest month?",
		why: "Warm feed lets most salt through and loads the resin most.",
		how: "Ask the utility, or read the tap in August.",
	},
}}

var rawRound = round{title: "The raw water, at the tap", questions: []question{
	{
		key: "sample.strength", place: "raw", first: true, or: "sample.conductivity", minutes: 1,
		ask: "What does a pen show at the tap? Give ppm, or uS/cm if it shows that.",
		why: "It tells how much salt there is to hold back.",
		how: "Let the tap run for two minutes, rinse the cup three times, and wait until the number stands.",
	},
	{
		key: "sample.scale", place: "raw", first: true, when: []string{"sample:raw.strength"},
		ask: "Which scale is the pen on?",
		why: "The same water shows 38 ppm on one scale and 50 ppm on another.",
		how: "Look on the back of the pen or in its leaflet. 0.5 is near NaCl, 0.7 is near 442.",
	},
	{
		key: "sample.temperature", place: "raw", minutes: 1,
		ask: "How warm is it?",
		why: "Cold water passes a membrane slowly: a flow without its temperature says little.",
		how: "Most pens show it. Hold the pen in running water for a minute.",
	},
	{
		key: "sample.pH", place: "raw", first: true, minutes: 2,
		ask: "What is its pH?",
		why: "With the alkalinity it tells carbon dioxide, which passes the membrane, eats resin and hardly shows on a pen.",
		how: "Use a pH pen that was set in buffer this week, or a narrow strip. Read at once: gas leaves a standing cup.",
	},
	{
		key: "sample.alkalinity", place: "raw", minutes: 4, care: careKit, kit: "as CaCO3",
		ask: "What is its alkalinity?",
		why: "Half of what tells carbon dioxide; the other half is the pH. It also tells when scale begins.",
		how: "Use a drop kit: count drops until the colour turns. A pool kit's total alkalinity is the same thing.",
	},
	{
		key: "sample.hardness", place: "raw", minutes: 3, care: careKit, kit: "as CaCO3",
		ask: "How hard is it?",
		why: "Hardness scales the membrane and limits how little may go to the drain.",
		how: "Use a drop kit, ahead of any softener. One drop is often one grain per gallon.",
	},
	{
		key: "sample.iron", place: "raw", minutes: 8, care: careKit,
		ask: "How much iron is in it?",
		why: "More than 0.05 mg/L fouls membrane and resin.",
		how: "Use a colour kit on water that was drawn just now. On a utility's water you may skip it.",
	},
	{
		key: "sample.silica", place: "raw", minutes: 8, care: careKit,
		ask: "How much silica is in it?",
		why: "It leaves the haze that does not wipe off, and the resin lets it go first. A pen does not see it.",
		how: "Use a colour kit, or the utility's report.",
	},
	{
		key: "sample.free_chlorine", place: "raw", minutes: 3, care: careKit, when: []string{"supply.disinfectant!=none"},
		ask: "How much free chlorine is in it?",
		why: "It is what the carbon has to take out.",
		how: "Use a DPD kit on water drawn just now. A strip does not see 0.1 mg/L.",
	},
	{
		key: "sample.total_chlorine", place: "raw", minutes: 3, care: careKit, when: []string{"supply.disinfectant!=none"},
		ask: "And how much total chlorine?",
		why: "What total has more than free is chloramine.",
		how: "Add the second tablet of the same DPD kit, wait two minutes, and read again.",
	},
	{
		key: "sample.sulphide", place: "raw", minutes: 8, care: careKit, when: []string{"supply.source!=city"},
		ask: "How much hydrogen sulphide is in it?",
		why: "It passes the membrane and smells at the gun.",
		how: "If it smells of eggs, use a kit at the well, before the water meets air.",
	},
	{
		key: "sample.date", place: "raw",
		ask: "On which day was this read?",
		why: "Water changes with the season. The newest sample of a place counts.",
		how: "Year, month, day.",
	},
	{
		key: "sample.instrument", place: "raw",
		ask: "What was it read with?",
		why: "Every band in the answers begins with the doubt of the meter.",
		how: "Kind of meter and its accuracy, from its leaflet.",
	},
}}

// reportRound is what only a laboratory or a utility's report can say.
var reportRound = round{title: "A water report", questions: []question{
	{
		key: "report",
		ask: "Do you have a laboratory's or the utility's report at hand?",
		why: "It fills in ions that no kit shows. Without one, usual shares are taken, and said.",
		how: "Utilities publish one a year. Take the values of the plant nearest to you, as mg/L of the ion.",
	},
	ionQuestion("calcium", "With magnesium it makes the hardness, and it scales first."),
	ionQuestion("magnesium", "The other half of the hardness."),
	ionQuestion("sodium", "A softener raises it."),
	ionQuestion("potassium", "Seldom much."),
	ionQuestion("chloride", "It loads the resin and corrodes."),
	ionQuestion("sulphate", "With calcium it makes gypsum."),
	ionQuestion("nitrate", "A membrane holds it less well than other salts."),
	ionQuestion("fluoride", "A utility may add it."),
	ionQuestion("manganese", "It stains and fouls like iron."),
	ionQuestion("strontium", "A trace may scale at high recovery."),
	ionQuestion("barium", "A trace may scale at high recovery."),
	ionQuestion("ammonium", "It comes with chloramine."),
	ionQuestion("boron", "A membrane hardly holds it."),
}}

func ionQuestion(name, why string) question {
	return question{
		key: "sample." + name, place: "raw", when: []string{"report"},
		ask: "How much " + name + " does it show?", why: why, how: "Copy it from the report, with its unit.",
	}
}

var busyRound = round{title: "How busy it gets", questions: []question{
	{
		key: "demand.normal_day", first: true,
		ask: "How many vehicles or boats get a rinse on a normal open day?",
		why: "It tells what the resin and the carbon have to do in a year.",
		how: "Count the coins or the tickets of a week, and divide by its open days.",
	},
	{
		key: "demand.busiest_day",
		ask: "And how many on the busiest day?",
		why: "The busiest day sizes the tank.",
		how: "Ask for the best Saturday of last season.",
	},
	{
		key: "demand.busiest_weekday",
		ask: "Which day of the week is that?",
		why: "A tank may fill up over the days before it.",
		how: "Ask the owner.",
	},
	{
		key: "demand.bays",
		ask: "At how many places can someone rinse at once?",
		why: "It limits how much water can be asked for at once.",
		how: "Count bays, pads or pedestals that have this water.",
	},
	{
		key: "demand.guns_at_once",
		ask: "How many guns are open together at the busiest?",
		why: "The pump and the line have to feed them all.",
		how: "Watch a busy quarter of an hour, or ask.",
	},
	{
		key: "demand.vend_time", minutes: 4,
		ask: "How long does a gun run for one vehicle?",
		why: "Time and flow make the litres of one rinse.",
		how: "Time three rinses with your phone, trigger pulled only.",
	},
	{
		key: "demand.gun_flow", minutes: 3,
		ask: "How much does one gun give?",
		why: "Time and flow make the litres of one rinse. A worn nozzle gives a fifth more than its number.",
		how: "Let the gun run into a bucket for 30 seconds, at the pressure people use.",
	},
	{
		key: "demand.per_vehicle", when: []string{"!demand.vend_time"},
		ask: "Or do you know how much water goes on one vehicle?",
		why: "It stands in for time and flow.",
		how: "Litres from a meter over a day, divided by the vehicles.",
	},
	{key: "demand.opens", ask: "When does it open?", why: "A tank fills while nobody rinses.", how: "Look at the sign at the gate."},
	{key: "demand.closes", ask: "When does it close?", why: "A tank fills while nobody rinses.", how: "Look at the sign at the gate."},
	{
		key: "demand.first_month", with: "demand.last_month",
		ask: "In which month does the season begin? Skip this when it is open all year.",
		why: "A rig that stands through winter needs a lay-up and a spring start.",
		how: "Ask the owner.",
	},
	{
		key: "demand.last_month", when: []string{"demand.first_month"}, with: "demand.first_month",
		ask: "And which month is its last?",
		why: "The other end of the season.",
		how: "Ask the owner.",
	},
}}
