package web

import (
	"fmt"
	"strings"

	"rinsewright/internal/sitefile"
	"rinsewright/site"
)

// chapter is one part of the survey, in the order things are met on site.
type chapter struct {
	Section string // of the site file
	Title   string
	Says    string
	One     string // what one of several is called
	list    bool
	part    bool // may not be there
	Blocks  []block
	Open    bool
}

// block is the fields of one thing: the supply, or the second sample.
type block struct {
	Key       string // "supply", "sample.2"
	Title     string
	Removable bool
	Open      bool // of several, this one is shown
	Fields    []field
	Report    []field // what only a laboratory's report tells
}

// field is one question.
type field struct {
	Key, Label, Says string
	Value, Example   string
	Words            []string
	Wrong            string
	Long             bool // more than a line
	Free             bool // other words than Words will do
}

// chapters are the survey's. Visits are logged on their own page.
var chapters = []chapter{
	{Section: "site", Title: "The place", Says: "What gets rinsed, and how clean it has to be."},
	{Section: "supply", Title: "The water as it arrives", Says: "At the tap that will feed the rig. Pressure without flow says little: read both at once."},
	{Section: "sample", Title: "What the meters said", Says: "One set of readings of one water. The raw water decides most.", One: "sample", list: true},
	{Section: "demand", Title: "How busy it gets", Says: "The busiest day sizes the tank, the normal day the resin."},
	{Section: "filter", Title: "Sediment filters", Says: "In the order the water meets them.", One: "filter", list: true},
	{Section: "carbon", Title: "Carbon", Says: "It takes the chlorine out ahead of the membrane.", part: true},
	{Section: "softener", Title: "Softener", Says: "It exchanges hardness for sodium.", part: true},
	{Section: "booster", Title: "Booster pump", Says: "Ahead of the membrane.", part: true},
	{Section: "membrane", Title: "Membrane", Says: "The element's data sheet, and how many hang there.", part: true},
	{Section: "row", Title: "Unlike rows of elements", Says: "Rows beside the first that share its feed.", One: "row", list: true},
	{Section: "restrictor", Title: "Restrictor", Says: "It holds the concentrate back.", part: true},
	{Section: "recycle", Title: "Recycle", Says: "Concentrate that goes back ahead of the booster.", part: true},
	{Section: "second_pass", Title: "Second pass", Says: "A membrane on the permeate of the first, and its restrictor.", part: true},
	{Section: "second_pump", Title: "Pump between the passes", Says: "Where the first pass's permeate is lifted.", part: true},
	{Section: "flush", Title: "Flush", Says: "A valve beside the restrictor that sweeps the membrane.", part: true},
	{Section: "controls", Title: "Controls", Says: "What starts and stops the rig, each as found.", part: true},
	{Section: "resin", Title: "Resin", Says: "Bottles of mixed bed, the lead first.", One: "bottle", list: true},
	{Section: "tank", Title: "Tank", Says: "It stores what the membrane makes.", part: true},
	{Section: "pump", Title: "Delivery pump", Says: "From the tank to the guns.", part: true},
	{Section: "line", Title: "Tube and pipe", Says: "To the farthest gun.", part: true},
	{Section: "limits", Title: "What the place allows", Says: "Drain, power and the way in."},
	{Section: "prices", Title: "Your prices", Says: "What you pay; nothing is looked up anywhere."},
}

// reported are the readings of a sample that a report tells and a meter bag
// does not.
var reported = map[string]bool{
	"calcium": true, "magnesium": true, "sodium": true, "potassium": true, "strontium": true, "barium": true, "manganese": true, "ammonium": true,
	"chloride": true, "sulphate": true, "nitrate": true, "fluoride": true, "boron": true,
}

// survey is the questions of a site with what is known.
func survey(s *site.Site) []chapter {
	out := make([]chapter, len(chapters))
	for i, c := range chapters {
		n := 1
		if c.list {
			n = howMany(s, c.Section) + 1 // and room for one more
		}
		for k := range n {
			b := block{Key: c.Section, Removable: c.part && sitefile.Has(s, c.Section)}
			if c.list {
				b = oneOf(s, c, k, n)
			}
			b.fill(s, c.Section)
			c.Blocks = append(c.Blocks, b)
		}
		c.Open = i < 4
		out[i] = c
	}
	return out
}

// oneOf is the block of one of several things; the last is not there yet.
func oneOf(s *site.Site, c chapter, k, n int) block {
	b := block{Key: fmt.Sprintf("%s.%d", c.Section, k+1), Removable: k < n-1, Open: k == 0}
	switch {
	case k == n-1 && k > 0:
		b.Title = "Another " + c.One
	case c.Section == "sample" && k < len(s.Samples):
		b.Title = strings.TrimSuffix(capital(placeWords(s.Samples[k].Place))+", "+s.Samples[k].Date, ", ")
	default:
		b.Title = capital(c.One) + fmt.Sprintf(" %d", k+1)
	}
	return b
}

func howMany(s *site.Site, section string) int {
	n := 0
	for sitefile.Has(s, fmt.Sprintf("%s.%d", section, n+1)) {
		n++
	}
	return n
}

func (b *block) fill(s *site.Site, section string) {
	for _, full := range sitefile.Keys() {
		name, ok := strings.CutPrefix(full, section+".")
		if !ok {
			continue
		}
		says, example := sitefile.Example(full)
		f := field{Key: b.Key + "." + name, Label: label(name), Says: says, Example: example, Words: sitefile.Words(full), Long: full == "site.about", Free: name == "scale"}
		f.Value = said(s, f.Key, f.Words)
		if len(f.Words) > 0 && !f.Free {
			f.Says, _, _ = strings.Cut(says, " (")
		}
		if section == "sample" && reported[name] {
			b.Report = append(b.Report, f)
			continue
		}
		b.Fields = append(b.Fields, f)
	}
}

// said is a value as a form shows it.
func said(s *site.Site, key string, words []string) string {
	value := sitefile.Get(s, key)
	if value == "true" && len(words) == 2 {
		return "yes"
	}
	return value
}

// label is a key in words.
func label(name string) string {
	switch name {
	case "pH":
		return name
	case "opens", "closes":
		name += "_at" // a balance closes too
	}
	words := strings.ReplaceAll(name, "_", " ")
	return strings.ToUpper(words[:1]) + words[1:]
}

// each calls do with every field of the survey.
func each(all []chapter, do func(*field)) {
	for i := range all {
		for k := range all[i].Blocks {
			b := &all[i].Blocks[k]
			for n := range b.Fields {
				do(&b.Fields[n])
			}
			for n := range b.Report {
				do(&b.Report[n])
			}
		}
	}
}

// oneLine makes what was typed comparable with what is kept.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
