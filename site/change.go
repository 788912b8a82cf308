package site

import (
	"slices"
	"strings"
)

// Change is work done on a part at a visit, in one of the words of [Changes], or
// "other: " and what it was. Tracking resets what a word renews.
type Change string

// The changes that mean something to the model.
const (
	LeadResin       Change = "lead resin"    // a fresh bottle in the lead
	LagResin        Change = "lag resin"     // a fresh bottle in the lag
	BothResins      Change = "both resins"   // fresh bottles in lead and lag
	ResinRotated    Change = "resin rotated" // lag moved to lead, a fresh bottle in the lag
	CarbonChanged   Change = "carbon"
	SedimentFilter  Change = "sediment filter"
	MembraneChanged Change = "membrane"       // every element
	OneMembrane     Change = "one membrane"   // one of several elements
	Seals           Change = "membrane seals" // o-rings, brine seals, end caps
	RestrictorNew   Change = "restrictor"
	RestrictorSet   Change = "restrictor set" // turned or cleared
	AcidClean       Change = "acid clean"
	AlkalineClean   Change = "alkaline clean"
	SoftenerFixed   Change = "softener repaired"
	SoftenerResin   Change = "softener resin"
	SaltAdded       Change = "salt"
	BoosterChanged  Change = "booster pump"
	PumpChanged     Change = "delivery pump"
	CheckValve      Change = "check valve"
	FloatFixed      Change = "float"
	ValveFixed      Change = "valve" // solenoid or shut-off valve
	GunChanged      Change = "gun"   // or its nozzle
	TankCleaned     Change = "tank cleaned"
	Sanitised       Change = "sanitised"
	LeakFixed       Change = "leak repaired"
	BladderCharged  Change = "bladder charged"
	PenCalibrated   Change = "pen calibrated"
	GaugeChanged    Change = "gauge" // a pressure or flow gauge
	LaidUp          Change = "laid up"
	StartedUp       Change = "started up" // after a lay-up
)

// Changes lists the words in path order.
var Changes = []Change{
	SedimentFilter, CarbonChanged, SoftenerFixed, SoftenerResin, SaltAdded, BoosterChanged, MembraneChanged, OneMembrane, Seals, AcidClean, AlkalineClean,
	RestrictorNew, RestrictorSet, LeadResin, LagResin, BothResins, ResinRotated, CheckValve, FloatFixed, ValveFixed, BladderCharged, TankCleaned, Sanitised,
	PumpChanged, GunChanged, LeakFixed, GaugeChanged, PenCalibrated, LaidUp, StartedUp,
}

// Other is work that the model has no word for.
func Other(what string) Change { return Change(otherMark + strings.TrimSpace(what)) }

const otherMark = "other: "

// heardChange is how else people say a change: every word of the phrase must
// be in what was said. Earlier rows win.
var heardChange = []struct {
	words string
	means Change
}{
	{"both resin", BothResins},
	{"both bottles", BothResins},
	{"lag lead moved", ResinRotated},
	{"rotated", ResinRotated},
	{"lead", LeadResin},
	{"lag", LagResin},
	{"resin bottle", LeadResin},
	{"sediment", SedimentFilter},
	{"µm filter", SedimentFilter},
	{"um filter", SedimentFilter},
	{"micron filter", SedimentFilter},
	{"prefilter", SedimentFilter},
	{"carbon", CarbonChanged},
	{"o-rings", Seals},
	{"o-ring", Seals},
	{"brine seal", Seals},
	{"end caps", Seals},
	{"acid", AcidClean},
	{"caustic", AlkalineClean},
	{"softener salt", SaltAdded},
	{"nozzle", GunChanged},
}

// ChangeMeant returns the change that said means: a word of [Changes] in any
// letter case, another way to say one, or [Other]. near is a word it may have been
// meant for by a slip of the pen; nothing is taken for it.
func ChangeMeant(said string) (meant, near Change) {
	plain := strings.ToLower(strings.Join(strings.Fields(said), " "))
	if plain == "" {
		return "", ""
	}
	if rest, ok := strings.CutPrefix(plain, strings.TrimSpace(otherMark)); ok && strings.TrimSpace(rest) != "" {
		_, kept, _ := strings.Cut(said, ":")
		return Other(strings.Join(strings.Fields(kept), " ")), ""
	}
	if slices.Contains(Changes, Change(plain)) {
		return Change(plain), ""
	}
	for _, c := range Changes {
		if slip(plain, string(c)) {
			return "", c
		}
	}
	for _, h := range heardChange {
		if holdsWords(plain, h.words) {
			return h.means, ""
		}
	}
	return Other(strings.Join(strings.Fields(said), " ")), ""
}

// holdsWords tells whether every word of phrase is a word of said.
func holdsWords(said, phrase string) bool {
	words := strings.FieldsFunc(said, func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '(' || r == ')' })
	for _, w := range strings.Fields(phrase) {
		if !slices.Contains(words, w) {
			return false
		}
	}
	return true
}

// slip tells whether two words differ by one letter: one more, one less, one
// other, or two next to each other swapped.
func slip(a, b string) bool {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	restA, restB := a[i:], b[i:]
	switch len(a) - len(b) {
	case 0:
		return restA != "" && (restA[1:] == restB[1:] ||
			len(restA) > 1 && restA[0] == restB[1] && restA[1] == restB[0] && restA[2:] == restB[2:])
	case 1:
		return restA[1:] == restB
	case -1:
		return restA == restB[1:]
	}
	return false
}
