package web

import "net/http"

// term is one word and what we mean by it.
type term struct{ Word, Means string }

// glossary holds one word for each thing, the same here, in the program and on
// paper.
var glossary = []term{
	{"alkalinity", "what in the water takes up acid, mostly bicarbonate; read by drop kit"},
	{"band", "the 5 to 95 % range of a number: nine times in ten the truth lies inside"},
	{"cause", "what may be wrong, as a change of the model"},
	{"clock", "a running account of what is used up: chlorine hours, resin load, filter load"},
	{"concentrate", "what leaves the membrane to the drain, with the salts in it"},
	{"conductivity", "how well water conducts, in µS/cm at 25 °C; a pen's ppm is this times a factor"},
	{"hardness", "calcium and magnesium together; 1 gpg is 17.1 mg/L as CaCO3"},
	{"mixed bed", "resin of both kinds in one bottle: it takes what is left after the membrane"},
	{"next test", "the reading that would decide most for its minutes and money"},
	{"paper", "a document handed over"},
	{"path", "the water's way from the tap to the gun, and its drawing"},
	{"permeate", "what passes the membrane"},
	{"pick", "one of the three systems offered, with what binds it"},
	{"ppm", "what a pen shows: a conductivity times the factor of its scale. Say which scale: NaCl, KCl or 442"},
	{"promise", "a predicted number that commissioning will hold the system to"},
	{"recovery", "the share of the feed that becomes permeate"},
	{"rejection", "the share of the salt that the membrane holds back"},
	{"sample", "one set of readings of one water, with place, time and method"},
	{"short vend", "a vend cut or refused for want of water"},
	{"station", "one stage on the path"},
	{"station state", "fine; due, with dates; today; not known"},
	{"story", "a site's trips, parts, readings and papers in time order"},
	{"strength", "how much is dissolved in the water, as a meter shows it"},
	{"survey", "what was asked and measured on site before anything is chosen"},
	{"trip", "one drive to one site, with its tasks and parts"},
	{"vend", "one use of the rinse, by coin or by trigger"},
	{"verdict", "holds; holds within doubt; can't tell; falls short"},
	{"water sheet", "what is known of a water, and how surely"},
	{"what binds", "the constraint that stops a cheaper system"},
	{"working", "how a number came about; it can be opened everywhere"},
}

func (v *visit) help() error {
	return v.show(http.StatusOK, "help.html", "Help", "help", glossary)
}
