package catalog

import "time"

// day is how a day is written, ISO 8601.
const day = "2006-01-02"

// OlderThan returns the parts whose price was told more than some months before a
// day, "2026-06-13", each by its own day or else the catalogue's. A price of no day
// is not among them: nobody knows its age. Source: definition.
func (c *Catalogue) OlderThan(months int, on string) (old []Part) {
	to, err := time.Parse(day, on)
	if err != nil {
		return nil
	}
	for _, p := range c.Parts {
		told := p.Priced
		if told == "" {
			told = c.Date
		}
		if from, err := time.Parse(day, told); err == nil && from.AddDate(0, months, 0).Before(to) {
			old = append(old, p)
		}
	}
	return old
}

// dayCell reads the day on which a price was told.
func dayCell(p *Part, cell string) string {
	if _, err := time.Parse(day, cell); err != nil {
		return "a day such as 2026-06-13"
	}
	p.Priced = cell
	return ""
}
