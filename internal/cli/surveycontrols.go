package cli

// The controls, each as found: a stuck one is behind many a call.

var controlRound = round{title: "What starts and stops it", questions: []question{
	{key: "controls", ask: "Can you see what starts and stops the rig?", why: "A control that sticks wastes water, runs a pump dry or leaves the tank empty.", how: "Look for a float in the tank, a valve with a coil on the feed, and small switches beside the pumps.", care: careElectricity},
	{key: "controls.float_stops", ask: "What does the tank's float stop?", why: "One that stops only the booster leaves the tap pushing water to the drain.", how: "Lift the float and listen: a valve clicks, or a pump stops.", care: careTank},
	{key: "controls.float", ask: "How does the float work?", why: "A float stuck on makes the tank overflow; one stuck off leaves it empty.", how: "Lift it and let it down, and watch whether the rig follows both ways.", care: careTank},
	{key: "controls.inlet_valve", ask: "How does the valve on the feed work?", why: "One stuck open runs to the drain all night.", how: "With the tank full nothing should run to the drain."},
	{key: "controls.shut_off_valve", ask: "How does the auto shut-off valve work?", why: "It stops the feed when the permeate is held back.", how: "Look for a small block with four tube ends between feed and permeate. Say absent when there is none."},
	{key: "controls.low_pressure_cut_out", when: []string{"booster"}, care: careElectricity, ask: "How does the low-pressure cut-out at the booster work?", why: "Without it a blocked filter ruins the booster.", how: "Close the supply slowly: the booster should stop. Open it again at once."},
	{key: "controls.trips_at", when: []string{"controls.low_pressure_cut_out=sound"}, care: careGauge, ask: "At which suction pressure does it stop the booster?", why: "A supply that sags below it makes the booster chatter.", how: "Watch the gauge ahead of the booster while you close the supply, or read its label."},
	{key: "controls.resets_at", when: []string{"controls.trips_at"}, care: careGauge, ask: "And at which does it let it start again?", why: "The difference decides whether it chatters.", how: "Watch the same gauge while you open the supply, or read its label."},
	{key: "controls.low_level_cut_off", care: careElectricity, ask: "How does the switch work that keeps the delivery pump from running dry?", why: "A pump that runs dry ruins its seal.", how: "Let the low float hang: the pump should not start with a gun open."},
	{key: "controls.vend_timer", care: careElectricity, ask: "How does the vend timer work?", why: "Stuck on it gives water away; stuck off it takes money for none.", how: "Buy a rinse, and pull a trigger after it has ended. Say absent when nobody pays at the bay."},
	{key: "controls.divert", ask: "For how long does permeate go to the drain after a start?", why: "The first water is strong: it loads the resin.", how: "Watch the drain when the rig starts. Say 0 s when it does not."},
}}
