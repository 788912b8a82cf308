package study

import (
	"rinsewright/quantity"
	"rinsewright/sizing"
)

// Once elements and booster are known, so is the smallest restrictor that is not
// sure to be too small. A larger one only sends more to the drain, so what a year of
// water costs with that one is the least of any system that breaks no limit; one that
// scales or recovers too much may cost less.

// sound adds that bound, or says that every restrictor is too small.
func (v *verdict) sound(chosen []int) {
	z := v.z
	some := make([]int, restrictorStage+1)
	copy(some, chosen)
	recovery := quantity.Ratio(0)
	for _, at := range z.soundRestrictors(some) {
		some[restrictorStage] = at
		end := z.endOf(z.coreOf(some), lossNone, seasonNow)
		if end.err != nil {
			return // what it would cost is the path's to tell
		}
		recovery = max(recovery, end.point.Recovery())
	}
	if recovery == 0 {
		if z.sized() {
			v.Doom = sizing.Doom{Among: brokenBySmall, By: 1}
		}
		return
	}
	if z.at(chosen, softenerStage).near {
		recovery = min(recovery*(1+nearWater), 1)
	}
	year, err := z.pathYearly(z.siteOf(chosen), z.softOf(chosen).softening, load{recovery: recovery}, chosen)
	if err == nil {
		v.Sound = year
	}
}

// soundRestrictors are the smallest restrictor that is not sure to be too small, and
// those of unknown size.
func (z *sizer) soundRestrictors(some []int) (all []int) {
	for i, c := range z.choices[restrictorStage] {
		if !(c.flow > 0) {
			all = append(all, i)
		}
	}
	family := z.coreOf(some)
	family.restrictor = 0
	if first := z.window(family); first < len(z.bySize) {
		all = append(all, z.bySize[first])
	}
	return all
}

// sized says that every restrictor's size is known.
func (z *sizer) sized() bool { return len(z.bySize) == len(z.choices[restrictorStage]) }
