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
	"tap":              {{"sample.strength", "strength"}, {"sample.temperature", "temperature"}, {"supply.running_pressure", "running pressure"}},
	"well":             {{"sample.strength", "strength"}, {"sample.temperature", "temperature"}, {"supply.running_pressure", "running pressure"}},
	"filter":           {{"filter.drop", "takes"}},
	"carbon":           {{"carbon.volume", "carbon"}},
	"softener":         {{"softener.resin", "resin"}, {"softener.salt_dose", "salt each time"}},
	"booster pump":     {{"booster.pressure", "adds"}},
	"membrane":         {{"membrane.count", "elements"}, {"restrictor.flow", "restrictor"}},
	"resin":            {{"resin.volume", "resin"}},
	"resin lag":        {{"resin.volume", "resin"}},
	"vented tank":      {{"tank.volume", "holds"}},
	"pressurised tank": {{"tank.volume", "holds"}, {"tank.stop_at", "stops at"}},
	"delivery pump":    {{"pump.pressure", "pressure"}},
	"gun":              {{"demand.normal_day", "normal day"}, {"demand.busiest_day", "busiest day"}, {"demand.vend_time", "time of one"}},
}

// counter tells the first filter of a path from the second.
type counter map[string]int

// knobs are what can be changed at a station, as it stands.
func (v view) knobs(s study.Station, counted counter) (all []Knob) {
	for _, t := range turned[s.Kind] {
		key := v.place(t[0], counted)
		says := sitefile.Get(v.site, key)
		if says == "" && strings.HasSuffix(key, ".strength") { // some meters read this instead
			if other := strings.TrimSuffix(key, "strength") + "conductivity"; sitefile.Get(v.site, other) != "" {
				key, says = other, sitefile.Get(v.site, other)
			}
		}
		section, _, _ := strings.Cut(key, ".")
		if !sitefile.Has(v.site, section) && section != "supply" && section != "demand" {
			continue // a part that does not hang there
		}
		_, example := sitefile.Example(t[0])
		all = append(all, Knob{key, t[1], quantity.Rewrite(says, v.file, v.options.Locale), quantity.Rewrite(example, quantity.Locale{}, v.options.Locale)})
	}
	return all
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
