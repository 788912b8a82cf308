package water

// databaseSpread is how far compilations of constants put a saturation index
// apart, greatest less least, for nine waters in ten.
var databaseSpread = [NMinerals]float64{
	Calcite: 0.055, Aragonite: 0.047, Gypsum: 0.074, Barite: 0.631, Celestite: 0.057, Fluorite: 0.052, AmorphousSilica: 0.001, Brucite: 0.013,
	Hydroxyapatite: 1, // no table here: compilations differ by an order of magnitude
}

// DatabaseSpread returns how far the saturation index of m may be off because
// compilations of constants differ, to either side, a number: to be carried in
// every band of scaling beside the doubt of the readings.
//
// Source: [SpreadTable], three releases of one compilation and another one, nine
// waters in ten; hydroxyapatite from [Memory].
func (m Mineral) DatabaseSpread() float64 {
	if m >= NMinerals {
		return 0
	}
	return databaseSpread[m]
}
