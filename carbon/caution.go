package carbon

// Cautions to print where a person is about to do the step. They are the usual
// ones and defer to local code and to licensed trades.
const (
	CautionBleach      = "Never send bleach or chlorinated water through the membrane or the resin. Bypass both while you sanitise, flush, and show less than 0.1 mg/L total chlorine with a strip or kit before you open them again."
	CautionNoMixing    = "Never mix bleach with acid (chlorine gas) or with ammonia (chloramines)."
	CautionNoCarbon    = "A membrane without carbon ahead of it on chlorinated water is ruined within weeks. Test total chlorine at the membrane before you condemn or replace an element."
	CautionSwitch      = "Chloramine towns send free chlorine for some weeks a year. Renew tired carbon before the switch, not after."
	CautionFines       = "New carbon sheds fines: flush it to drain until clear, ahead of the membrane."
	CautionDust        = "Carbon dust irritates: wear a mask and eye protection. Wet carbon takes oxygen out of the air in a closed vessel or tank; never put your head in or climb in."
	CautionPressure    = "Shut the feed and bleed the pressure before you open a housing or a tank."
	CautionMicrobes    = "Past the carbon the water has no disinfectant, and carbon grows slime. Change it once a year even when it still takes out chlorine."
	CautionTotalNotice = "Test total chlorine, not only free: chloramine does not show in a free chlorine test."
)
