package resin

import "rinsewright/quantity"

// AloneUse is the share of its life to which a lone bed is run, since nothing
// behind it catches the slip: 0.70 to 0.80. Source: [Practice].
const AloneUse quantity.Ratio = 0.75

const (
	singleUseLow  = 0.70
	singleUseHigh = 0.80
)

// LeadLag compares one vessel with two in series.
type LeadLag struct {
	Single               quantity.Volume // per charge, a lone vessel stopped early
	SingleLow, SingleUp  quantity.Volume // 70 and 80 % of the life
	Lead                 quantity.Volume // per charge, lead run to its endpoint, lag catching the slip
	Gained               quantity.Volume // Lead less Single
	ActionAtLeadOutlet   string          // what to do when
	RequiresMiddleSample bool            // a sample port between the vessels
}

// LeadLag returns the litres per charge of resin with one vessel and with lead
// and lag. A lone vessel is stopped at 75 % of its life (70 to 80 %) because its
// outlet is the product. With a lag behind it the lead runs to its endpoint; at
// the swap the lag moves to lead, fresh resin becomes lag, so every charge is
// used to the full. Source: [Practice]. What slips to the lag meanwhile is taken
// as nothing; it is used later, not lost. [Series] runs the vessels through the column
// instead. Errors as [Bed.Life].
func (b Bed) LeadLag(in Inlet) (LeadLag, error) {
	life, err := b.Life(in)
	if err != nil {
		return LeadLag{}, err
	}
	single := quantity.Volume(AloneUse) * life.Volume
	return LeadLag{
		Single:               single,
		SingleLow:            singleUseLow * life.Volume,
		SingleUp:             singleUseHigh * life.Volume,
		Lead:                 life.Volume,
		Gained:               life.Volume - single,
		ActionAtLeadOutlet:   "when the lead's outlet reaches the action level, move lag to lead and put fresh resin in as lag",
		RequiresMiddleSample: true,
	}, nil
}
