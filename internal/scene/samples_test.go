package scene

import (
	"math"
	"strings"
)

// Invented paths; no number in them is a measurement.

var unknown = math.NaN()

func marina() Path {
	return Path{
		Title:    "Heron Quay, wash-down pads",
		Subtitle: "Saturday in July · well at 18 °C · read 12 July, promised at start-up",
		Stations: []Station{
			{Kind: Well, ID: "well", Name: "Well", Read: []string{"580 µS", "18 °C", "52 psi"}, State: Fine, Fill: unknown, FlowLitresPerDay: 2640, StrengthMicrosiemens: 580},
			{Kind: SedimentFilter, ID: "sediment", Name: "Sediment, 5 µm", Read: []string{"Δ 2 psi"}, Due: []string{"change at Δ 10 psi"}, State: Fine, Word: "4 months", Fill: 0.8, FlowLitresPerDay: 2640, StrengthMicrosiemens: 580},
			{Kind: IronFilter, ID: "iron", Name: "Iron filter", Read: []string{"Fe 0.02 mg/L"}, Due: []string{"backwash Sundays"}, State: Fine, Fill: 0.9, FlowLitresPerDay: 2640, StrengthMicrosiemens: 580},
			{Kind: Membrane, ID: "membrane", Name: "Membrane ×2", Read: []string{"18 µS", "0.81 L/min", "×0.98"}, Due: []string{"12–22 µS", "0.74–0.88 L/min"}, State: Fine, Word: "3 years", Fill: 0.7, FlowLitresPerDay: 2570, StrengthMicrosiemens: 18},
			{Kind: PressurisedTank, ID: "tank", Name: "Pressurised tank", Read: []string{"16 µS", "38–58 psi"}, Due: []string{"170 L drawn before the pump starts"}, State: Fine, Fill: 0.55, FlowLitresPerDay: 1285, StrengthMicrosiemens: 16},
			{Kind: ResinLead, ID: "lead", Name: "Resin, lead", Read: []string{"1 µS"}, Due: []string{"62 % used"}, State: Due, Word: "9–21 Aug", Fill: 0.38, FlowLitresPerDay: 1285, StrengthMicrosiemens: 1},
			{Kind: ResinLag, ID: "lag", Name: "Resin, lag", Read: []string{"0.6 µS"}, Due: []string{"6 % used"}, State: Fine, Fill: 0.94, FlowLitresPerDay: 1285, StrengthMicrosiemens: 0.6},
			{Kind: Gun, ID: "guns", Name: "Guns", Read: []string{"0.6 µS", "5.5 L/min"}, Due: []string{"leaves 0.02 mg/m²"}, State: Fine, Fill: unknown, FlowLitresPerDay: 1285, StrengthMicrosiemens: 0.6},
		},
		Drain: &Drain{LitresPerDay: 1285, StrengthMicrosiemens: 1120, Notes: []string{"recovery 50 %", "first mineral calcite, margin 0.6"}},
	}
}

func depot() Path {
	return Path{
		Title:    "Alder Street bus depot",
		Subtitle: "Weekday in November · city water at 11 °C · read 4 November",
		Stations: []Station{
			{Kind: SupplyTap, ID: "tap", Name: "City tap", Read: []string{"412 µS", "11 °C", "64 psi"}, State: Fine, Fill: unknown, FlowLitresPerDay: 9400, StrengthMicrosiemens: 412},
			{Kind: SedimentFilter, ID: "sediment", Name: "Sediment", Read: []string{"Δ 9 psi"}, Due: []string{"change at Δ 10 psi"}, State: Today, Word: "change", Fill: 0.06, FlowLitresPerDay: 9400, StrengthMicrosiemens: 412},
			{Kind: Carbon, ID: "carbon", Name: "Carbon", Read: []string{"Cl₂ 0.02"}, Due: []string{"contact 8 min"}, State: Fine, Word: "7 months", Fill: 0.64, FlowLitresPerDay: 9400, StrengthMicrosiemens: 412},
			{Kind: Softener, ID: "softener", Name: "Softener", Read: []string{"0 gpg"}, Due: []string{"salt 2 bags"}, State: Due, Word: "14 Nov", Fill: 0.3, FlowLitresPerDay: 9400, StrengthMicrosiemens: 430},
			{Kind: BoosterPump, ID: "booster", Name: "Booster pump", Read: []string{"150 psi"}, State: Fine, Fill: unknown, FlowLitresPerDay: 9200, StrengthMicrosiemens: 430},
			{Kind: Membrane, ID: "membrane", Name: "Membranes ×4", Read: []string{"9 µS", "3.9 L/min"}, Due: []string{"6–11 µS"}, State: Fine, Fill: 0.9, FlowLitresPerDay: 9200, StrengthMicrosiemens: 9},
			{Kind: VentedTank, ID: "tank", Name: "Tank", Read: []string{"10 µS", "1,640 L"}, Due: []string{"keeps up 99.6 %", "dry once in 3 years"}, State: Fine, Fill: 0.72, Stop: 0.93, Start: 0.7, FlowLitresPerDay: 6900, StrengthMicrosiemens: 10},
			{Kind: DeliveryPump, ID: "delivery", Name: "Delivery pump", Read: []string{"44 psi"}, State: Fine, Fill: unknown, FlowLitresPerDay: 6900, StrengthMicrosiemens: 10},
			{Kind: ResinLead, ID: "lead", Name: "Lead", Read: []string{"4.2 µS"}, Due: []string{"98 % used"}, State: Today, Word: "swap", Fill: 0.02, FlowLitresPerDay: 6900, StrengthMicrosiemens: 4.2},
			{
				Kind: ResinLag, ID: "lag", Name: "Lag", Read: []string{"2.6 µS"}, Due: []string{"0.2–0.4 µS"}, State: NotKnown, Fill: unknown, FlowLitresPerDay: 6900, StrengthMicrosiemens: 2.6,
				Suspect: true, Why: "2.6 µS leaves a vessel that is 11 % used. An open bypass or a cracked riser would give that; close the bypass and read again.",
			},
			{Kind: Line, ID: "line", Name: "Ring line, 60 m", Read: []string{"41 psi"}, State: Fine, Fill: unknown, FlowLitresPerDay: 6900, StrengthMicrosiemens: 2.6},
			{Kind: Gun, ID: "guns", Name: "Six guns", Read: []string{"2.6 µS", "7 L/min"}, Due: []string{"under 5 µS"}, State: Fine, Fill: unknown, FlowLitresPerDay: 6900, StrengthMicrosiemens: 2.6},
		},
		Drain: &Drain{LitresPerDay: 2300, StrengthMicrosiemens: 1680, Notes: []string{"recovery 75 %", "first mineral silica, margin 0.4"}},
	}
}

// worst is a path of the longest names, the most texts and the least known.
func worst(stations int) Path {
	p := Path{Title: strings.Repeat("Overlong title of a site ", 9), Subtitle: strings.Repeat("and what is to be said of it ", 14), Drain: &Drain{At: "s2", LitresPerDay: unknown, StrengthMicrosiemens: unknown, Notes: []string{strings.Repeat("recovery not known ", 12)}}}
	names := []string{"Undergroundsprinklerconnectionmanifoldsx", "Second-floor plant room, west, by the door", "<script>alert(\"tap\")</script> & 'more'", "浄水器の前の第二フィルター、西側の機械室の奥にある", "Ünïcödé Ströngwässer Überlauf №7"}
	for i := range stations {
		p.Stations = append(p.Stations, Station{
			Kind: Kind(i) % kinds, ID: "s" + string(rune('0'+i%10)), Name: names[i%len(names)],
			Read: []string{"1,234.56 µS/cm at 25 °C", "0.81 L/min per element", "commissioning", "−12.5 %"}, Due: []string{"somewhere between 0.74 and 0.88 L/min at 25 °C", "Wasseraufbereitungsanlagenprüfung", "x"},
			State: State(i % 4), Word: []string{"", "4 months and perhaps a little more", "9 August–21 September", "call before noon"}[i%4],
			Fill: []float64{unknown, 0, 0.5, 1}[i%4], Stop: 0.9, Start: 0.6, FlowLitresPerDay: []float64{unknown, 0, 3, 12345}[i%4], StrengthMicrosiemens: []float64{0, unknown, 0.05, 54000}[(i/2)%4],
			Suspect: i%3 == 1, Why: strings.Repeat("It reads higher after than before. ", 1+i),
		})
	}
	return p
}

func smallest() Path {
	return Path{Stations: []Station{
		{Kind: SupplyTap, State: Fine, Fill: unknown, FlowLitresPerDay: 300, StrengthMicrosiemens: 260},
		{Kind: ResinLead, Binds: true, Read: []string{"0.4 µS"}, Due: []string{"under 10 µS"}, State: Due, Word: "3–9 May", Fill: 0.2, FlowLitresPerDay: 300, StrengthMicrosiemens: 0.4},
		{Kind: Gun, State: Fine, Fill: unknown, FlowLitresPerDay: 300, StrengthMicrosiemens: 0.4},
	}}
}

func resinBars() Bars {
	return Bars{Title: "What ate the resin", Note: "since 3 May, 41,000 L", Unit: "grains", Rows: []BarRow{{Parts: []BarPart{
		{Name: "bicarbonate", Value: 1840}, {Name: "carbon dioxide", Value: 1320}, {Name: "hardness", Value: 760}, {Name: "sodium and chloride", Value: 540}, {Name: "silica", Value: 310}, {Name: "nitrate", Value: 60},
	}}}}
}

func costBars() Bars {
	parts := func(values ...float64) []BarPart {
		var out []BarPart
		for i, name := range []string{"water and sewer", "resin", "membranes", "power", "labour"} {
			out = append(out, BarPart{Name: name, Value: values[i], Words: "$" + grouped(values[i])})
		}
		return out
	}
	return Bars{Title: "A year's money", Note: "three picks on one scale, 5 to 95 % band at the end", Unit: "$", Rows: []BarRow{
		{Label: "Resin only", Parts: parts(240, 5200, 0, 10, 900), Low: 5600, High: 7300, Words: "$6,350"},
		{Label: "Membrane, then resin", Parts: parts(620, 780, 410, 160, 640), Low: 2250, High: 3100, Words: "$2,610"},
		{Label: "Two membranes, small resin", Parts: parts(910, 260, 820, 340, 610), Low: unknown, High: unknown, Words: "$2,940"},
	}}
}

func singleBars() Bars {
	row := func(l string, v float64) BarRow { return BarRow{Label: l, Parts: []BarPart{{Value: v}}} }
	return Bars{Title: "Likely causes", Unit: "%", Rows: []BarRow{row("Lead resin used up", 62), row("Bypass open", 21), row("Meter off scale", 9), row("Not read yet", unknown), row("Cracked riser", 0.8)}}
}

func permeateYear() Months {
	m := Months{
		Title: "Permeate flow through the year", Note: "at the temperature of the well", Unit: "L/min", Promise: 0.74,
		Values:   [12]float64{0.71, 0.69, 0.71, 0.75, 0.81, 0.88, 0.93, 0.94, 0.9, 0.84, 0.78, 0.73},
		Readings: []MonthReading{{Month: 1.4, Value: 0.70}, {Month: 3.2, Value: 0.73}, {Month: 5.1, Value: 0.83}, {Month: 7.5, Value: 0.9}, {Month: 8.6, Value: 0.89}},
	}
	for i, v := range m.Values {
		m.Low[i], m.High[i] = v*0.93, v*1.06
	}
	return m
}
