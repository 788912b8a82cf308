package faults

// Strength of a remark: how many times likelier it is with the cause than
// without, as a logarithm. Common practice, no source: what was seen 20, fair 6, some 2.
const (
	strong = 3.0
	fair   = 1.8
	some   = 0.8
)

func speaksFor(log float64, numbers ...int) (all []speak) {
	for _, n := range numbers {
		all = append(all, speak{n, log})
	}
	return all
}

func also(parts ...[]speak) (all []speak) {
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// lexicon is what people say, in English and Spanish. Source: [TradeFaults], the
// failure table's own words and what owners ask; each phrase is a set of word
// beginnings.
var lexicon = []concept{
	{
		"spots or haze",
		[]string{"spot -free", "spots", "streak", "haze", "hazy", "marks", "mark glass", "film car", "film glass", "water residue", "cloudy", "milky", "mancha", "velo", "marcas", "residuo"},
		also(speaksFor(some, 1, 11, 15, 16, 19, 20, 21, 24, 25, 26, 27, 28, 29, 30, 31, 46), speaksFor(some/2, 3, 4, 12, 17, 22, 23), speaksFor(-0.9, 8, 9, 10, 13, 14, 32, 36, 37, 38, 39, 40, 41, 5, 6, 7)),
	},
	{
		"too little water made",
		[]string{"slow fill", "slow make", "slower", "forever fill", "catch up", "catches up", "keep up", "runs out", "ran out", "run out", "run dry", "not enough water", "less water", "tank empty", "tank low", "never full", "makes less", "production down", "output down", "tarda llena", "lento", "no alcanza", "poca agua", "menos agua", "se acaba", "tanque vacio"},
		also(speaksFor(0.9, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 39, 40), speaksFor(some, 13, 32), speaksFor(some/2, 37, 48), speaksFor(-some/2, 16, 18, 19, 20, 21, 22, 24, 25, 26, 27, 28, 29, 30, 31, 37, 38)),
	},
	{
		"resin does not last",
		[]string{"resin last", "resin short", "resin quick", "resin fast", "resin like", "resin early", "resin too soon", "resin again", "through resin", "eats resin", "bottle last", "bottles last", "di last", "di gone", "tank di early", "bottle every", "bottles every", "bottles crazy", "resin crazy", "more bottles", "more resin", "resina dura", "resina rapido", "resina pronto"},
		also(speaksFor(fair, 17, 20), speaksFor(some, 1, 15, 16, 19, 21, 22, 23, 24, 25, 46), speaksFor(-0.7, 2, 5, 6, 7, 8, 9, 10, 12, 13, 14, 28, 29, 30, 31, 32, 36, 37, 38)),
	},
	{
		"drain takes too much",
		[]string{"meter spins", "water meter", "bill doubled", "bill went", "drain running hard", "drain fast", "sewer", "water bill", "bill up", "lot drain", "drain roar", "drain gush", "drain wide", "pouring drain", "so much waste", "waste more", "drain loud", "drain harder", "rush drain", "factura agua", "mucho desague", "mucho drenaje", "mucho rechazo"},
		also(speaksFor(fair, 13), speaksFor(1.1, 14, 32), speaksFor(some, 38)),
	},
	{
		"drain runs with the tank full",
		[]string{"hear water", "hear running", "water running night", "running closed", "trickle night", "drain never stop", "drain all night", "drain runs full", "drain full", "waste full", "drain still", "drain keeps", "keeps running full", "never shuts", "does not shut", "doesnt shut", "wont shut", "wont stop", "never stops", "runs all night", "running all night", "runs nonstop", "no para", "toda la noche", "sigue drenando", "drena lleno"},
		also(speaksFor(strong, 14), speaksFor(fair, 38), speaksFor(some, 13, 32)),
	},
	{
		"hardly any drain",
		[]string{"drain hose dry", "hardly any", "almost nothing drain", "waste almost", "waste trickle", "hardly drain", "barely drain", "no drain water", "drain trickle", "trickle drain", "drain drip", "little drain", "nothing drain", "drain dry", "drain line dry", "drain slow", "less drain", "drain stopped", "no waste", "little waste", "hardly waste", "poco desague", "casi nada desague", "poco rechazo", "sin rechazo"},
		also(speaksFor(strong, 12), speaksFor(some, 3, 4)),
	},
	{
		"smells of chlorine",
		[]string{"pool", "smell pool", "smells pool", "pool smell", "chlorine", "bleach", "swimming", "cloro", "piscina", "lejia"},
		speaksFor(strong, 1, 46),
	},
	{
		"the utility announced something",
		[]string{"flyer", "postcard", "post card", "announcement", "notice", "letter", "utility", "city said", "city told", "city switch", "flushing main", "flush main", "burn", "annual", "disinfect", "water company", "municipal", "ayuntamiento", "aviso", "compania agua"},
		also(speaksFor(fair, 46), speaksFor(1.1, 16), speaksFor(some, 1, 2)),
	},
	{
		"the water itself changed",
		[]string{"water changed", "changed water", "hardness changed", "supply switched", "switched supply", "river", "lake", "tap worse", "tap is worse", "raw water", "different water", "new well", "water source", "other well", "switched well", "another source", "changed source", "drought", "reservoir", "tap higher", "tap water high", "raw higher", "taste", "blend", "agua distinta", "otra fuente", "otro pozo", "sequia", "sabor"},
		speaksFor(fair+0.3, 16),
	},
	{
		"carbon is old",
		[]string{"carbon old", "carbon never", "carbon year", "carbon due", "carbon not changed", "carbon never", "old carbon", "no carbon", "carbon forgot", "carbon viejo", "carbon nunca"},
		speaksFor(fair, 1, 46),
	},
	{
		"softener without salt",
		[]string{"salt$", "salty", "salt tank", "softener empty", "softener bypass", "softener not", "softener regen", "softener stuck", "softener off", "softener clock", "softener timer", "brine", "bridge", "salero", "sal$", "ablandador", "descalcificador", "suavizador"},
		also(speaksFor(strong, 48), speaksFor(fair, 3)),
	},
	{
		"lime",
		[]string{"scale", "scaling", "lime", "limescale", "crust", "chalk", "calcium", "white buildup", "white build", "fizz", "kettle", "hard water", "sarro", "cal$", "costra", "incrusta"},
		also(speaksFor(fair+0.4, 3), speaksFor(1.1, 48), speaksFor(some, 4, 12)),
	},
	{
		"glassy scale, acid does nothing",
		[]string{"acid bath", "cleaning did nothing", "cleaned no", "clean didnt", "clean no better", "acid nothing", "acid not", "acid doesnt", "acid didnt", "no fizz", "glassy", "silica", "sandpaper", "descal not", "descal no", "cleaner nothing", "citric nothing", "citric not", "acido no", "silice", "vidrioso"},
		also(speaksFor(strong, 4), speaksFor(some, 21)),
	},
	{
		"white haze that the pen does not see",
		[]string{"meter 000", "reads 000", "reads zero", "meter zero", "shows zero", "pen zero", "tds zero", "meter good", "meter fine", "pen fine", "numbers fine", "numbers good", "haze zero", "white haze", "glass haze", "haze wont", "marca cero", "medidor cero", "neblina"},
		also(speaksFor(fair+0.3, 21), speaksFor(1.1, 30, 31), speaksFor(some, 20)),
	},
	{
		"slime",
		[]string{"smells stale", "stale", "stink", "bacteria", "bio$", "bio growth", "growth", "slick", "slime", "slimy", "snot", "jelly", "goo$", "gooey", "biofilm", "algae", "musty", "mould", "mold", "swamp", "slippery", "baba", "limo", "alga", "moho", "viscos"},
		also(speaksFor(strong, 5), speaksFor(fair, 44), speaksFor(some, 26)),
	},
	{
		"stands idle",
		[]string{"idle", "shut weeks", "closed weeks", "closed month", "sat unused", "not used", "standing weeks", "vacation", "off season", "parado", "cerrado semanas"},
		speaksFor(fair, 5, 22),
	},
	{
		"rust",
		[]string{"iron$", "rust", "rusty", "orange", "stains toilet", "stain toilet", "ochre", "metallic", "brown", "red water", "reddish", "iron", "manganese", "black specks", "tea colour brown", "oxido", "hierro", "marron", "naranja", "rojiz"},
		also(speaksFor(fair+0.4, 6, 24), speaksFor(some, 2, 9)),
	},
	{
		"silt",
		[]string{"silt", "mud", "muddy", "clay", "sand", "grit", "dirt filter", "dirty filter", "dirty water", "main break", "broke main", "hydrant", "storm", "construction", "dug", "digging", "roadwork", "street", "lodo", "barro", "arena", "tierra", "turbia", "obra"},
		also(speaksFor(fair+0.4, 2), speaksFor(fair, 9)),
	},
	{
		"filters are old or flattened",
		[]string{"filters old", "never changed", "long overdue", "overdue", "packed", "bypassing filters", "gauge drop", "filter old", "filter never", "filter black", "filter squash", "filter collaps", "filter plugged", "filter clog", "filter due", "filter change", "filter forgot", "cartridge old", "cartridges old", "cartridge flat", "cartridge squash", "cartridges squash", "cartridge collaps", "cartridge black", "no date", "date cartridge", "filtro viejo", "filtro tapado", "filtro sucio", "cartucho"},
		also(speaksFor(fair+0.3, 9), speaksFor(some, 2, 6)),
	},
	{
		"coloured or oily tap",
		[]string{"oil$", "oily", "greasy", "sheen", "tannin", "tea$", "yellow tint", "yellowish", "diesel", "solvent", "peat", "earthy", "antiscalant", "polymer", "aceite", "amarill", "grasa"},
		also(speaksFor(strong, 7), speaksFor(some, 24)),
	},
	{
		"cold",
		[]string{"cold", "winter", "freez", "frost", "snow", "chilly", "icy", "ice$", "frio", "invierno", "helada", "nieve"},
		also(speaksFor(fair+0.4, 8), speaksFor(some, 45)),
	},
	{
		"weak supply",
		[]string{"pressure low", "low pressure", "pressure drop", "street pressure", "house pressure", "no pressure", "pressure weak", "neighbour pressure", "neighbor pressure", "house taps", "kitchen tap", "shower", "irrigation", "sprinkler", "next door", "other tap", "toilet", "flush toilet", "hydrant", "new building", "half closed", "half shut", "valve closed", "valve half", "feed valve", "when wash runs", "presion baja", "poca presion", "vecino", "riego", "llave medio"},
		speaksFor(fair+0.3, 10),
	},
	{
		"permeate line changed",
		[]string{"valve permeate", "permeate valve", "half turned", "hose pinched", "long run", "tank far", "bladder", "pressure tank", "moved tank", "tank moved", "new tank", "tank roof", "tank higher", "upstairs", "mezzanine", "loft", "kink", "new line tank", "longer hose", "smaller tube", "new tube", "rerouted", "re routed", "pinched", "checked valve tank", "check valve", "tanque nuevo", "tanque presion", "doblad", "techo"},
		speaksFor(strong, 11),
	},
	{
		"housings were opened",
		[]string{"o ring", "oring", "o rings", "seal", "housing open", "opened housing", "opened vessel", "vessel open", "since service", "after service", "new membrane", "changed membrane", "membrane changed", "membrane swap", "membrane out", "after last visit", "membrana nueva", "junta", "abrieron", "despues del servicio"},
		also(speaksFor(fair+0.3, 15), speaksFor(-some/2, 2)),
	},
	{
		"another meter",
		[]string{"new meter", "new pen", "other pen", "other meter", "different meter", "different pen", "two pens", "two meters", "meters disagree", "pens disagree", "dont agree", "calibrat", "battery", "dropped pen", "dropped meter", "my meter", "his meter", "medidor nuevo", "otro medidor", "calibra", "pila"},
		speaksFor(strong, 18),
	},
	{
		"better after a while",
		[]string{"settles", "after minute", "after minutes", "warm up", "overnight bad", "sits overnight", "let run", "run a bit", "run bit", "first minute", "first minutes", "at first", "first few", "few minutes", "then good", "then fine", "goes away", "clears up", "first thing", "after weekend", "monday bad", "mornings bad", "morning bad", "al principio", "primer minuto", "primeros minutos", "dejar correr", "lunes mal"},
		also(speaksFor(fair+0.2, 22), speaksFor(fair, 17, 29), speaksFor(some, 5)),
	},
	{
		"first seconds of each rinse",
		[]string{"soapy first", "first bit", "first splash", "sudsy", "suds first", "bubbles first", "first seconds", "first second", "start rinse", "starts soapy", "soap first", "first car", "first customer", "soapy first", "beginning rinse", "begin rinse", "hose first", "seconds bad", "first spray", "primeros segundos", "espuma primero", "empieza jabon"},
		also(speaksFor(strong, 29), speaksFor(some, 22)),
	},
	{
		"starts and stops",
		[]string{"on off", "on and off", "clicking", "clicks", "kicks on", "cycling", "cycles", "starts stops", "starts and stops", "short cycl", "every few minutes", "every couple minutes", "constantly starting", "prende apaga", "arranca para", "enciende apaga", "cada rato"},
		also(speaksFor(strong, 17), speaksFor(fair, 40, 33)),
	},
	{
		"new bottle",
		[]string{"brand new", "just installed", "put in new", "came back from", "regenerated", "regen bottle", "yesterday", "new bottle", "new resin", "fresh bottle", "fresh resin", "swapped bottle", "just changed", "just swapped", "changed bottle", "changed resin", "exchanged", "exchange", "delivered bottle", "since bottle", "after bottle", "right after change", "botella nueva", "resina nueva", "recien cambi"},
		speaksFor(fair+0.5, 25),
	},
	{
		"resin due",
		[]string{"resin due", "bottle due", "change due", "time resin", "light red", "red light", "light off", "light came on", "resin old", "bottle old", "bottle long time", "resin toca", "luz roja", "resina vieja"},
		speaksFor(fair, 19),
	},
	{
		"resin looks fouled",
		[]string{"resin turned", "beads turned", "resin stained", "resin fouled", "media brown", "resin brown", "resin pink", "resin red", "resin orange", "resin colour", "resin color", "resin dark", "beads brown", "beads stained", "bottle brown", "resina marron", "resina rosa"},
		speaksFor(strong, 24),
	},
	{
		"one bay only",
		[]string{"one bay", "only bay", "just bay", "bay only", "single bay", "other bays fine", "others fine", "bay 1", "bay 2", "bay 3", "bay 4", "bay 5", "bay one", "bay two", "bay three", "bay four", "una bahia", "solo bahia", "bahia"},
		also(speaksFor(strong, 28), speaksFor(some, 29, 37)),
	},
	{
		"tank open or dirty",
		[]string{"lid$", "lid off", "tank dirty", "dirty tank", "tank dust", "dust tank", "bugs", "insect", "mouse", "tank open", "vent open", "tank sun", "cover off", "something floating", "tank smell", "tank stink", "fitting tank", "copper", "brass", "tapa", "polvo", "insecto", "tanque sucio"},
		also(speaksFor(fair+0.5, 26), speaksFor(fair, 44), speaksFor(some, 42)),
	},
	{
		"a bypass valve",
		[]string{"bypass", "by pass", "around resin", "skips resin", "goes around", "wrong position", "straight through", "by passed", "valve turned", "valve moved", "handle", "valve open", "left open", "turned valve", "blue valve", "valve position", "lever", "llave abierta", "desvio", "valvula abierta"},
		also(speaksFor(strong, 27), speaksFor(some, 48)),
	},
	{
		"only dark, hot or waxed",
		[]string{"black paint", "paint", "clear coat", "new cars fine", "old cars", "same spots", "spots stay", "already there", "dark car", "dark cars", "black car", "black cars", "hot day", "hot panel", "hot car", "sun", "sunny", "wax", "waxed", "ceramic", "coated", "coating", "old spots", "wont wipe", "wont come off", "wont rub", "etched", "vinegar", "some cars", "certain cars", "one customer", "autos oscuros", "coche negro", "sol$", "cera", "caliente"},
		also(speaksFor(fair+0.4, 30), speaksFor(some, 21, 31)),
	},
	{
		"short rinse",
		[]string{"hurry", "rush$", "rushing", "short rinse", "rinse short", "quick rinse", "rinse quick", "rinse time", "less time", "shortened", "cut time", "seconds rinse", "soap left", "soap on car", "soap still", "soapy", "foam left", "new soap", "new foam", "stronger soap", "staff new", "new staff", "skip rinse", "vend time", "timer short", "prisa", "enjuague corto", "enjuague rapido", "jabon queda", "espuma queda"},
		speaksFor(fair+0.4, 31),
	},
	{
		"water goes missing",
		[]string{"pump kicks nobody", "pump starts nobody", "pump comes nobody", "pump night", "level falls", "tank falls", "drops night", "lower morning", "empty morning", "leak", "puddle", "wet floor", "drip", "dripping", "hiss", "overnight", "level drops", "level down", "loses water", "losing water", "nobody washing", "no one washing", "weep", "solenoid", "runs nobody", "toilet hiss", "pump runs nobody", "fuga", "gotea", "charco", "baja nivel", "noche nivel"},
		also(speaksFor(strong, 32), speaksFor(some, 14, 33)),
	},
	{
		"weak with two guns",
		[]string{"more than one", "one at a time", "only one at", "loses pressure when", "drops when", "second opens", "two people", "two wash", "two guns", "both bays", "two bays", "both guns", "two at once", "when busy", "busy weak", "second gun", "second bay", "other bay opens", "somebody else", "saturday weak", "all bays", "everyone washing", "dos bahias", "dos pistolas", "las dos", "ambas"},
		speaksFor(strong, 36),
	},
	{
		"weak jet",
		[]string{"nozzle big", "worn out nozzle", "nozzle old", "hole bigger", "unloader", "weak spray", "weak gun", "weak jet", "gun weak", "guns weak", "spray weak", "spray pattern", "fan wide", "dribble", "spray", "nozzle", "tip worn", "worn tip", "low at gun", "pressure gun", "less punch", "boquilla", "chorro debil", "pistola floja", "pistola debil", "punta gastada"},
		also(speaksFor(fair, 37), speaksFor(1.1, 36), speaksFor(some, 34, 35)),
	},
	{
		"uses more water",
		[]string{"uses more water", "using more", "more water per", "more water than", "same cars", "tank drains fast", "empties faster", "usa mas agua", "gasta mas"},
		also(speaksFor(fair, 37), speaksFor(some, 32)),
	},
	{
		"tank overflows",
		[]string{"over top", "water coming over", "tank too full", "runs over", "wet floor tank", "overflow", "flood", "spill", "over the top", "tank running over", "float", "water floor", "water on floor", "overfill", "wet around tank", "desborda", "rebalsa", "rebosa", "flotador", "inunda"},
		also(speaksFor(strong, 38), speaksFor(some, 14)),
	},
	{
		"more flow than the resin is for",
		[]string{"pull hard", "pulling hard", "opened up", "turned up", "push resin", "flow resin", "through fast", "bigger pump", "new pump", "bigger gun", "more bays", "added bay", "added gun", "opened up flow", "faster flow", "flow up", "more flow", "small bottle", "smaller bottle", "one bottle", "bomba nueva", "bomba grande", "mas caudal", "botella chica", "botella pequena"},
		speaksFor(fair+0.3, 23),
	},
	{
		"flush valve or restrictor",
		[]string{"flush valve", "flush stuck", "restrictor", "flow control", "orifice", "solenoid open", "needle valve", "drain valve", "valve drain", "drain full open", "restrictor missing", "valvula flush", "restrictor", "aguja"},
		also(speaksFor(fair+0.3, 13), speaksFor(fair, 12)),
	},
	{
		"gas in the water",
		[]string{"acidic", "stains copper", "soda", "alkalin", "aerat", "bubble", "gas$", "well acid", "acid water", "ph low", "low ph", "bubbles", "fizzy water", "carbonic", "co2", "aeration", "burbujas", "acida", "ph bajo"},
		speaksFor(fair+0.3, 20),
	},
	{
		"pump noise, air or heat",
		[]string{"pump hot", "pump noise", "pump loud", "pump growl", "air jet", "air spit", "spitting", "sputter", "cavitat", "gravel", "bomba caliente", "bomba ruido", "escupe", "aire"},
		speaksFor(strong+0.3, 34),
	},
	{
		"pump dead",
		[]string{"pump dead", "pump wont", "pump not", "pump seized", "pump burned", "pump burnt", "ran dry", "no water guns", "nothing at guns", "bomba quemada", "bomba no", "bomba muerta"},
		speaksFor(strong+0.3, 35),
	},
	{
		"pump chatters",
		[]string{"pump chatter", "pump rapid", "pump every second", "pressure hunting", "needle bounc", "accumulator", "precharge", "pump short", "bomba tiembla", "bomba cada segundo"},
		speaksFor(strong+0.3, 33),
	},
	{
		"never starts",
		[]string{"never starts", "wont start", "doesnt start", "not coming on", "wont come on", "ro off", "ro dead", "nothing happens", "breaker", "tripped", "no arranca", "no enciende", "disyuntor"},
		speaksFor(strong+0.3, 39),
	},
	{
		"knocks",
		[]string{"knock", "bang", "hammer", "thump", "golpe", "martilleo"},
		speaksFor(strong, 41, 45),
	},
	{
		"green stains",
		[]string{"green stain", "blue stain", "greenish", "turquoise", "blue green", "verde", "azulad"},
		speaksFor(strong+0.3, 42),
	},
	{
		"rotten eggs",
		[]string{"egg", "sulphur", "sulfur", "rotten", "huevo", "azufre"},
		speaksFor(strong+0.3, 43),
	},
	{
		"warm tank",
		[]string{"tank warm", "tank hot", "warm water tank", "tank slime", "wall tank", "tanque caliente", "paredes tanque"},
		speaksFor(strong, 44),
	},
	{
		"cracked",
		[]string{"crack", "split", "burst", "broken housing", "rajad", "rota", "reventa"},
		speaksFor(strong, 45),
	},
	{
		"vend without water",
		[]string{"card reader", "coin", "charged no water", "paid nothing", "vend fails", "money no water", "timer late", "relay", "tarjeta", "moneda", "pago sin agua"},
		speaksFor(strong+0.3, 47),
	},
	{
		"no complaint",
		[]string{"all good", "no complaint", "routine", "scheduled", "just check", "nothing wrong", "fine here", "happy", "annual service", "rutina", "todo bien", "sin quejas", "programad"},
		also(speaksFor(some/2, 8, 16, 18), speaksFor(-some/2, 36, 38, 28)),
	},
}
