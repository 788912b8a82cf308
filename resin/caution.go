package resin

// Cautions to print where a person is about to do the step. They are the usual
// ones and defer to local code and to licensed trades.
const (
	CautionHeavy        = "Wet resin is heavy: a cubic foot weighs about 50 lb (23 kg) drained, a tank of it with water far more. Lift with two people or a hand truck, and bleed the pressure before you open a vessel."
	CautionSlippery     = "Spilt resin beads roll underfoot like ball bearings. Sweep them up before anyone walks there, and keep them out of drains."
	CautionRegeneration = "Regenerating mixed-bed resin takes strong acid and strong caustic. Send it to a licensed plant; do not regenerate on site unless permitted and equipped for it."
	CautionBleach       = "Never send bleach or chlorinated water through resin or membrane: it ruins both, and oxidisers such as nitric acid on resin can react violently. Bypass both while you disinfect."
	CautionHeat         = "Keep anion resin below about 50 °C, and never let resin freeze."
	CautionBrine        = "Softener brine is salty waste; some places ban it from the drain. Ask before the first regeneration."
	CautionDrinking     = "Polished water is not drinking water, and attacks copper, brass and galvanised steel. Label its outlets and use plastic or stainless."
)
