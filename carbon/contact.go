package carbon

import "rinsewright/quantity"

// Contact asked of a bed, in minutes, and where it comes from.
const (
	chlorineMinutes          = 2.0  // loose carbon, free chlorine [SalePages]
	blockMinutes             = 0.5  // cartridge block, free chlorine [Practice]
	chloramineMinutes        = 10.0 // two beds of 5 min in series [DialysisGuidance]
	catalyticMinutes         = 5.0  // catalytic carbon, upper end of 3 to 5 [Memory]
	chloramineLeastMinutes   = 6.0  // one page's figure for chloramine: below guidance
	catalyticLeastMinutes    = 3.0  // lower end of 3 to 5 [Memory]
	contactMeasurable        = 1e-5 // kg/m³: chlorine too little to ask for contact
	sourceChlorine           = "SalePages: at least 2 min of empty-bed contact for free chlorine"
	sourceBlock              = "common practice, no source: half a minute through a carbon block for free chlorine"
	sourceChloramine         = "DialysisGuidance, from memory: 10 min in two beds; 6 min is quoted but is below guidance"
	sourceCatalytic          = "from memory, unverified: 3 to 5 min for chloramine on catalytic carbon"
	adviceHolds              = ""
	adviceBelowGuidance      = "below guidance: test total chlorine after the carbon at every visit"
	adviceFallsShort         = "falls short: more carbon, less flow, or carbon made for chloramine"
	adviceBlockForChloramine = "a cartridge is not a chloramine bed: use tanks in series"
)

// Contact is the verdict on contact time for one kind of chlorine.
type Contact struct {
	Of     string // "free chlorine" or "chloramine"
	Asked  quantity.Time
	Have   quantity.Time
	Margin quantity.Ratio // have over asked, less 1
	Holds  bool
	Warn   bool // short of Asked, yet no less than the least that is quoted
	Advice string
	Source string
}

// Contact compares empty-bed contact time with what is asked for what the feed
// brings:
//
//	free chlorine   2 min loose carbon, 0.5 min cartridge block
//	chloramine     10 min, catalytic 5 min; warns down to 6 and 3 min
//
// Source: named in each verdict; guidance, not chemistry, which is [Bed.Leak].
// Chlorine under 0.01 mg/L asks for nothing. Errors as [Bed.ContactTime].
func (b Bed) Contact(c Challenge, f quantity.Flow) ([]Contact, error) {
	have, err := b.ContactTime(f)
	if err := firstError(err, c.check("contact")); err != nil {
		return nil, err
	}
	var verdicts []Contact
	if c.FreeChlorine >= contactMeasurable {
		asked, source := chlorineMinutes, sourceChlorine
		if b.Kind == Block {
			asked, source = blockMinutes, sourceBlock
		}
		verdicts = append(verdicts, judge("free chlorine", asked, asked, have, source))
	}
	if c.Chloramine >= contactMeasurable {
		asked, least, source := chloramineMinutes, chloramineLeastMinutes, sourceChloramine
		if b.Kind == Catalytic {
			asked, least, source = catalyticMinutes, catalyticLeastMinutes, sourceCatalytic
		}
		v := judge("chloramine", asked, least, have, source)
		if b.Kind == Block && !v.Holds {
			v.Advice = adviceBlockForChloramine
		}
		verdicts = append(verdicts, v)
	}
	return verdicts, nil
}

func judge(of string, asked, least float64, have quantity.Time, source string) Contact {
	const rounding = 1e-9 // minutes lost in conversion are no shortfall
	v := Contact{
		Of:     of,
		Asked:  quantity.Minutes(asked),
		Have:   have,
		Margin: quantity.Ratio(have.Minutes()/asked - 1),
		Source: source,
		Advice: adviceFallsShort,
	}
	switch minutes := have.Minutes() * (1 + rounding); {
	case minutes >= asked:
		v.Holds, v.Advice = true, adviceHolds
	case minutes >= least:
		v.Warn, v.Advice = true, adviceBelowGuidance
	}
	return v
}
