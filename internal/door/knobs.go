package door

import (
	"fmt"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/quantity"
	"rinsewright/site"
	"rinsewright/study"
)

// turned are the keys of the site file that can be changed at a kind of
// station, with what they are called there.
var turned = map[string][][2]string{
	"tap":              atTap,
	"well":             atTap,
	"filter":           {{"filter.drop", "takes"}},
	"carbon":           {{"carbon.volume", "carbon"}, {"carbon.passed", "passed since new"}},
	"softener":         {{"softener.resin", "resin"}, {"softener.salt_dose", "salt each time"}},
	"booster pump":     {{"booster.pressure", "adds"}, {"booster.flow", "at a flow of"}},
	"membrane":         atMembrane,
	"resin":            {{"resin.volume", "resin"}},
	"resin lag":        {{"resin.volume", "resin"}},
	"vented tank":      {{"tank.volume", "holds"}},
	"pressurised tank": {{"tank.volume", "holds"}, {"tank.stop_at", "stops at"}},
	"delivery pump":    {{"pump.pressure", "pressure"}, {"pump.flow", "at a flow of"}},
	"gun":              {{"demand.normal_day", "normal day"}, {"demand.busiest_day", "busiest day"}, {"demand.vend_time", "time of one"}, {"demand.gun_flow", "flow of one"}, {"demand.bays", "bays"}, {"demand.guns_at_once", "open together"}},
}

var atTap = [][2]string{
	{"sample.strength", "strength"},
	{"sample.temperature", "temperature"},
	{"supply.running_pressure", "running pressure"},
	{"supply.coldest", "in the coldest month"},
	{"sample.hardness", "hardness"},
	{"sample.alkalinity", "alkalinity"},
	{"sample.pH", "pH"},
}

// Of the membrane's station are the rows beside the first, what goes round, what
// sweeps it, and the second pass.
var atMembrane = [][2]string{
	{"membrane.count", "elements"},
	{"restrictor.flow", "restrictor"},
	{"membrane.age", "since new"},
	{"row.count", "elements of row"},
	{"recycle.flow", "comes back"},
	{"flush.lasts", "a flush lasts"},
	{"flush.per_day", "flushes a day"},
	{"second_pump.pressure", "pump between"},
	{"second_pass.count", "elements, second pass"},
	{"second_pass.drain_flow", "drain, second pass"},
}

// counter tells the first filter of a path from the second.
type counter map[string]int

// knobs are what can be changed at a station, as it stands.
func (v view) knobs(s study.Station, counted counter) (all []Knob) {
	for _, t := range turned[s.Kind] {
		if name, isRow := strings.CutPrefix(t[0], "row."); isRow {
			for n := 1; sitefile.Has(v.site, fmt.Sprintf("row.%d", n)); n++ {
				all = append(all, v.knob(fmt.Sprintf("row.%d.%s", n, name), t[0], fmt.Sprintf("%s %d", t[1], n+1)))
			}
			continue
		}
		key := v.place(t[0], counted)
		if other := strings.TrimSuffix(key, "strength") + "conductivity"; strings.HasSuffix(key, ".strength") && sitefile.Get(v.site, key) == "" && sitefile.Get(v.site, other) != "" {
			key = other // some meters read this instead
		}
		section, _, _ := strings.Cut(key, ".")
		if !sitefile.Has(v.site, section) && section != "supply" && section != "demand" {
			continue // a part that does not hang there
		}
		all = append(all, v.knob(key, t[0], t[1]))
	}
	return all
}

// knob is one key as it stands, with the example of its kind.
func (v view) knob(key, kind, label string) Knob {
	_, example := sitefile.Example(kind)
	return Knob{key, label, quantity.Rewrite(sitefile.Get(v.site, key), v.file, v.options.Locale), quantity.Rewrite(example, quantity.Locale{}, v.options.Locale)}
}

// place is a key with the number of its part: the latest raw sample, or the
// next filter or bottle of the path.
func (v view) place(key string, counted counter) string {
	section, name, _ := strings.Cut(key, ".")
	switch section {
	case "sample":
		return fmt.Sprintf("sample.%d.%s", latestRaw(v.site), name)
	case "filter", "resin":
		counted[section]++
		return fmt.Sprintf("%s.%d.%s", section, counted[section], name)
	}
	return key
}

// latestRaw is the number of the sample that the chain takes for the water
// that comes in.
func latestRaw(s *site.Site) int {
	for _, place := range []string{"raw", "feed"} {
		found := 0
		for i, w := range s.Samples {
			if w.Place == place && (found == 0 || w.Date >= s.Samples[found-1].Date) {
				found = i + 1
			}
		}
		if found > 0 {
			return found
		}
	}
	return 1
}
