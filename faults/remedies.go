package faults

import "slices"

// Remedy is what to do about a cause, in order.
type Remedy struct {
	Do       []string `json:"do"`
	Parts    []string `json:"parts,omitempty"`
	Minutes  int      `json:"minutes"` // of a technician, flush included
	Cautions []string `json:"cautions,omitempty"`
	Settles  string   `json:"settles"` // the check that settles whether it is this
	Takes    int      `json:"takes"`   // minutes of that check
}

// Trap is the mistake that costs a customer an element.
const Trap = "Do not fit a new membrane while its feed still carries chlorine: carbon first, then total chlorine below 0.1 mg/L at the membrane, then the element."

// Cautions that belong to steps.
const (
	acidCaution = "Acid: goggles and gloves, acid into water, never with bleach; rinse to neutral before permeate is used. Waste by local rules."
	lyeCaution  = "Caustic cleaner: goggles and gloves; rinse to neutral before permeate is used. Waste by local rules."
	bleach      = "Isolate membrane and resin before any bleach; prove chlorine is gone before they come back. Never enter a tank."
	pressure    = "Shut the feed, switch the pump off and let the pressure down before a housing is opened."
	live        = "Switch off and lock out before a cover is opened; wiring is a licensed electrician's where the law says so."
	discard     = "New element: permeate to the drain for the first half hour."
	backflow    = "Do not take out or bypass a backflow device: it protects the drinking water; a licensed tester's work in most places."
)

// RemedyOf returns what to do about the cause of a number. Source: [TradeFaults];
// minutes are its own.
func RemedyOf(number int) Remedy {
	r := remedies[number]
	if slices.Contains(r.Parts, element) && !slices.Contains(r.Cautions, Trap) {
		r.Cautions = append([]string{Trap}, r.Cautions...)
	}
	return r
}

const element = "membrane element"

func steps(s ...string) []string { return s }

var remedies = map[int]Remedy{
	1:  {steps("Change the carbon", "Prove total chlorine below 0.1 mg/L at the membrane", "Then change the element"), steps("carbon", element, "O-rings"), 90, steps(pressure, discard), "free and total chlorine at the membrane now, and its account in mg/L-hours since the carbon was changed", 6},
	2:  {steps("Change the prefilter, a coarser one ahead of it", "Clean the membrane with detergent", "Read the silt index of the feed"), steps("5 µm filter", "20 µm filter", "detergent cleaner"), 120, steps(pressure, lyeCaution), "cut the prefilter open; read the drop over the first element", 15},
	3:  {steps("Set softener or restrictor right", "Clean the membrane with acid, pH 2 to 3", "Read flow and strength again"), steps("citric acid"), 120, steps(acidCaution), "a drop of acid on the concentrate fitting: it fizzes; weigh the last element", 15},
	4:  {steps("Lower the recovery", "Change the element"), steps(element, "restrictor"), 60, steps(pressure, discard), "silica kit on the feed, times its concentration: above about 120 mg/L it settles", 10},
	5:  {steps("Clean alkaline, then with a biocide that the element's maker allows", "Clean the tank", "Set a daily flush"), steps("alkaline cleaner", "biocide"), 120, steps(lyeCaution, bleach), "feel the cartridge and wipe the tank's wall for slime; ask how long it stood", 5},
	6:  {steps("Fit or service an iron filter", "Clean with citric acid or hydrosulphite"), steps("iron filter", "citric acid"), 120, steps(acidCaution), "iron kit on the membrane's feed; look at the filter housing's colour", 10},
	7:  {steps("Change the prefilter and carbon", "Change the element if cleaning does nothing"), steps("prefilter", "carbon", element), 60, steps(pressure, discard), "a jar of tap water against white paper; tannin kit", 10},
	8:  {steps("Nothing to mend: cold water makes less", "More membrane area, a warmer feed or a larger tank if winters stay busy"), nil, 0, nil, "the feed's temperature", 1},
	9:  {steps("Change the filters", "Read the drop again"), steps("5 µm filter", "carbon"), 20, steps(pressure), "bypass or empty the housing for a minute: the pressure comes back", 5},
	10: {steps("Open every valve on the feed", "Find who else draws", "A larger line or a booster"), steps("booster pump"), 30, steps(backflow), "fill a bucket at the inlet and read the gauge meanwhile; open another tap", 10},
	11: {steps("Open the permeate line", "Wider or shorter tube, a vented tank with a pump"), steps("tube", "fittings"), 20, steps("Never shut the permeate line of a running membrane."), "open the permeate to the air: its strength falls within minutes", 6},
	12: {steps("Clean or change the restrictor", "Set the recovery", "Look for scale in the last element"), steps("restrictor"), 15, steps(pressure), "catch the drain in a bucket for a minute", 3},
	13: {steps("Shut the flush valve by hand, clean its seat", "Fit the restrictor"), steps("restrictor", "solenoid valve"), 25, steps(pressure), "pinch or shut the flush valve: the pressure rises at once", 3},
	14: {steps("Lift the float and time the stop", "Change what does not hold: float, shut-off valve, check valve"), steps("float", "shut-off valve", "check valve"), 30, nil, "lift the float by hand and time until the drain stops", 5},
	15: {steps("Read every housing's permeate", "Probe along the tube of the worst", "New seals, glycerine only"), steps("O-rings", "brine seal", "glycerine"), 40, steps(pressure), "each housing's permeate by itself; then along its tube", 8},
	16: {steps("Nothing to mend: the tap changed", "Take a new baseline", "See what the resin now costs"), nil, 10, nil, "the tap's strength against the baseline", 1},
	17: {steps("Wider gap between stop and restart", "Divert or flush the first minutes"), steps("float switch", "divert valve"), 30, nil, "read the permeate every half minute from a start; count the starts in an hour", 10},
	18: {steps("Clean the cell", "Check in a standard solution", "Store the pen's scale with it"), steps("84 µS/cm standard"), 5, nil, "standard solution of 84 µS/cm; swap pens", 4},
	19: {steps("Move the lag to lead, fresh resin as lag"), steps("resin bottle"), 15, nil, "the middle port", 2},
	20: {steps("Air the water in a vented tank and hang the resin after it", "Or raise the pH ahead of the membrane to 8 to 8.5"), steps("air pump and diffuser"), 60, steps("Caustic soda: goggles and gloves; dose small."), "shake a sample and read it again: it falls; pH and alkalinity of the tap", 8},
	21: {steps("Change the lead", "An earlier endpoint: by gallons, or by the silica kit"), steps("resin bottle"), 20, nil, "silica kit behind lead and lag; dry a drop on black glass", 10},
	22: {steps("Flush two minutes", "Keep the flow above the least", "Repack or swap if it stays"), steps("resin bottle"), 15, nil, "flush for two minutes and read again; then at another flow", 4},
	23: {steps("Half the flow and read again", "A larger vessel, or two side by side"), steps("resin bottle"), 20, nil, "halve the flow through the resin and read again", 5},
	24: {steps("Change the resin", "Iron filter or carbon ahead of it"), steps("resin bottle", "iron filter"), 30, nil, "look at a pinch of resin; iron kit", 10},
	25: {steps("Rinse five to ten bed volumes", "Check the arrows", "Send it back if it stays"), steps("resin bottle"), 15, nil, "rinse five bed volumes to the drain and read again", 10},
	26: {steps("Drain and clean the tank", "Screen the vent, close the lid", "Mend float or make-up"), steps("disinfectant", "vent screen"), 60, steps(bleach), "a bottle sample of the tank before and after a purge; close the make-up and watch", 15},
	27: {steps("Close the bypass and tag it"), steps("seal tag"), 5, nil, "follow the pipe and feel the valve; the drop over the vessel is about none", 3},
	28: {steps("Isolate the tap supply to that bay", "Change the check valve or solenoid"), steps("check valve", "solenoid valve"), 30, steps(backflow), "shut the bay's tap supply and read its gun again", 5},
	29: {steps("Purge on every vend", "A shorter line, or a dump valve"), steps("dump valve"), 20, nil, "read the gun every ten seconds from the trigger", 3},
	30: {steps("Show it on black glass", "Coach the rinse: longer, shade, from the top"), nil, 20, nil, "rinse clean black glass, dry it, look; vinegar on an old spot", 15},
	31: {steps("Twice the seconds a side, read the drips again", "Set vend time and nozzle"), steps("nozzle"), 10, nil, "double the seconds on one side and read the drips", 5},
	32: {steps("Close the pump's outlet and watch the level", "Change the valve that weeps"), steps("solenoid valve"), 30, nil, "close the pump's outlet for fifteen minutes; read the meter overnight", 15},
	33: {steps("Set the precharge", "Change switch or check valve"), steps("pressure switch", "accumulator"), 20, steps(live), "press the accumulator's valve: water means a torn bladder", 3},
	34: {steps("Clean the strainer", "Reseal the suction, a wider line"), steps("seals"), 30, steps(live), "clear tube on the suction: bubbles", 5},
	35: {steps("Change the low-level float", "Then the pump's seals or the pump"), steps("float", "pump"), 90, steps(live), "lift the low-level float in a bucket: does it switch", 5},
	36: {steps("Half inch to three quarters", "A larger pump"), steps("3/4 in pipe", "pump"), 120, steps(live), "a bucket at each gun, one open and all open", 6},
	37: {steps("Change the nozzles", "Set or change the unloader"), steps("nozzle"), 10, nil, "a bucket at the gun against its nozzle number", 4},
	38: {steps("Lift the float by hand", "Change float or relay", "Look for water that comes back"), steps("float"), 20, steps(live), "lift the float by hand; strength of what overflows", 4},
	39: {steps("Bypass the low-pressure switch for five seconds", "Change switch, relay or float"), steps("pressure switch", "relay"), 30, steps(live), "bridge the low-pressure switch for five seconds", 5},
	40: {steps("Filters, then supply", "A delay on the low-pressure switch"), steps("5 µm filter", "delay relay"), 30, steps(live), "watch the gauge as it stops", 4},
	41: {steps("Check the order of valve and pump", "Change the solenoid"), steps("solenoid valve"), 30, steps(live), "listen which comes first, valve or pump", 3},
	42: {steps("Plastic or stainless from the membrane on"), steps("fittings"), 60, nil, "a copper strip from the tank against one behind the resin", 10},
	43: {steps("Air it or oxidise it ahead", "Clean tank and heater"), steps("air pump and diffuser"), 60, steps(bleach), "smell tap, permeate and tank, one after the other", 3},
	44: {steps("Disinfect the tank", "Shade it, turn it over"), steps("disinfectant"), 120, steps(bleach), "wipe the wall, dip a slide", 5},
	45: {steps("Change what cracked", "Trace heat, or an arrestor and a slow valve"), steps("housing", "tube"), 60, steps(pressure, "A frozen element is scrap."), "look along the path for cracks and bulges", 5},
	46: {steps("Swap the carbon before the weeks begin", "Count the mg/L-hours that got through", "The element after that, if it must"), steps("carbon"), 30, steps(Trap, pressure), "free and total chlorine at the membrane; the utility's dates", 6},
	47: {steps("Bridge the relay, listen for the valve", "Change relay or solenoid"), steps("relay", "solenoid valve"), 40, steps(live), "bridge the relay and listen", 4},
	49: {steps("Nothing to mend: the rig makes what it was built for", "A larger tank for busy days, or more membrane area for busy weeks", "Size it anew from what is washed now"), nil, 0, nil, "count what is washed in a week against what the rig was built for; read the hour meter", 10},
	48: {steps("Break the salt bridge, regenerate", "Check bypass and clock"), steps("salt"), 40, nil, "a hardness drop test behind it; a stick into the salt", 4},
}
