package web

import (
	"strings"

	"rinsewright/internal/door"
	"rinsewright/internal/sitefile"
	"rinsewright/internal/store"
	"rinsewright/quantity"
	"rinsewright/site"
)

// bagged is what else a meter bag has, all of the raw water.
var bagged = []string{"temperature", "pH", "hardness", "alkalinity", "free_chlorine", "total_chlorine", "iron", "silica"}

// bagAsk is one of them on the reading page.
type bagAsk struct {
	Key, Title  string
	Value, Unit string
	Units       []string
	Last, Wrong string
}

// bagUnits are the units in which one is read, the reader's first.
func bagUnits(name string, units quantity.System) []string {
	switch {
	case name == "pH":
		return nil
	case name == "temperature" && units == quantity.SI:
		return []string{"C", "F"}
	case name == "temperature":
		return []string{"F", "C"}
	case name == "hardness" && units == quantity.US:
		return []string{"gpg", "mg/L as CaCO3"}
	case name == "hardness":
		return []string{"mg/L as CaCO3", "gpg"}
	case name == "alkalinity":
		return []string{"mg/L as CaCO3"}
	}
	return []string{"mg/L"}
}

// bagAsks are what else may be read, with what was read last.
func (v *visit) bagAsks(site string, reads reader) (asks []bagAsk, err error) {
	last, err := v.last(site, "raw")
	for _, name := range bagged {
		one := bagAsk{Key: name, Title: label(name), Units: bagUnits(name, reads.units), Last: last[name].Typed}
		for i, unit := range one.Units {
			if i == 0 || strings.HasSuffix(one.Last, " "+unit) {
				one.Unit = unit
			}
		}
		asks = append(asks, one)
	}
	return asks, err
}

// bagRead reads one of the other readings of the form.
func (v *visit) bagRead(f *bagAsk, locale quantity.Locale) []store.Reading {
	f.Value, f.Unit = strings.TrimSpace(v.r.PostFormValue(f.Key)), v.r.PostFormValue(f.Key+".unit")
	return f.read(locale)
}

// read is what was typed as a reading; a number may carry its own unit.
func (f *bagAsk) read(locale quantity.Locale) []store.Reading {
	if f.Value == "" {
		return nil
	}
	text := f.Value
	if strings.Trim(text, "0123456789.,") == "" {
		text = strings.TrimSpace(text + " " + f.Unit)
	}
	scratch := &site.Site{}
	if err := sitefile.Set(scratch, "sample.1."+f.Key, text, locale); err != nil {
		f.Wrong = door.WhatIsWrong(err)
		return nil
	}
	w := scratch.Samples[0]
	r := store.Reading{Name: f.Key, Typed: text, Unit: "kg/m3"}
	switch f.Key {
	case "temperature":
		r.SI, r.Unit = float64(w.Temperature.Value), "K"
	case "pH":
		r.SI, r.Unit = float64(w.PH.Value), ""
	case "hardness":
		r.SI = float64(w.Hardness.Value)
	case "alkalinity":
		r.SI = float64(w.Alkalinity.Value)
	case "free_chlorine":
		r.SI = float64(w.FreeChlorine.Value)
	case "total_chlorine":
		r.SI = float64(w.TotalChlorine.Value)
	default:
		for _, e := range w.Ions {
			r.SI = float64(e.Value)
		}
	}
	return []store.Reading{r}
}
