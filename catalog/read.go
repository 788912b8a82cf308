package catalog

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"rinsewright/quantity"
)

// mostParts is as many rows as a catalogue may have: a search over more would
// take longer than anyone waits.
const mostParts = 2000

// Problem is one cell that cannot be used: which line and column, what was
// read, what was wanted. It wraps [ErrRead].
type Problem struct {
	Line   int
	Column string
	Read   string
	Wanted string
}

func (p *Problem) Error() string {
	return fmt.Sprintf("catalogue line %d, column %s: read %q, wanted %s", p.Line, p.Column, p.Read, p.Wanted)
}

// Unwrap returns [ErrRead].
func (p *Problem) Unwrap() error { return ErrRead }

// Read reads a catalogue: comma separated values whose first line names the
// columns, in any order, "kind", "name" and "price" among them. Lines that
// begin with # are comments; "# currency: EUR" names the currency, USD
// otherwise, and "# date: 2026-06-13" the day on which its prices were told. Values carry their unit ("750 gpd"), prices are plain amounts of
// the currency, hours plain hours. A quote that a spreadsheet needed ahead of a text
// that looks like a formula is dropped. The error wraps [ErrRead]; it is [Problems] where
// cells are at fault, at most one of each line.
func Read(text []byte) (*Catalogue, error) {
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	c := &Catalogue{Currency: "USD"}
	if err := c.remarks(text); err != nil {
		return nil, err
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = '#', 0, true
	names, err := header(r)
	if err != nil {
		return nil, err
	}
	if err := c.rows(r, names); err != nil {
		return nil, err
	}
	return c, c.check()
}

func (c *Catalogue) rows(r *csv.Reader, names []string) error {
	var wrong Problems
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("%w: %w", ErrRead, err)
		}
		line, _ := r.FieldPos(0)
		part, bad := partOf(names, cells, line)
		if bad != nil {
			wrong = append(wrong, bad)
			continue
		}
		if c.Parts = append(c.Parts, part); len(c.Parts) > mostParts {
			return &Problem{line, "kind", cells[0], fmt.Sprintf("at most %d parts", mostParts)}
		}
	}
	if len(wrong) > 0 {
		return wrong
	}
	return nil
}

// remarks reads what stands in lines that begin with #.
func (c *Catalogue) remarks(text []byte) error {
	for i, line := range strings.Split(string(text), "\n") {
		line = strings.Trim(strings.TrimSpace(line), `",`) // a spreadsheet writes the rest of its columns
		if rest, ok := strings.CutPrefix(line, "# currency:"); ok {
			c.Currency = strings.ToUpper(strings.TrimSpace(rest))
			if len(c.Currency) != 3 || strings.Trim(c.Currency, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
				return Problems{{i + 1, "# currency", strings.TrimSpace(rest), "three letters, such as USD"}}
			}
		}
		if rest, ok := strings.CutPrefix(line, "# date:"); ok {
			c.Date = strings.TrimSpace(rest)
			if _, err := time.Parse(day, c.Date); err != nil {
				return Problems{{i + 1, "# date", c.Date, "a day such as 2026-06-13"}}
			}
		}
	}
	return nil
}

func header(r *csv.Reader) ([]string, error) {
	names, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("%w: no line that names the columns: %w", ErrRead, err)
	}
	seen := map[string]bool{}
	for i := range names {
		names[i] = strings.ToLower(strings.TrimSpace(names[i]))
		if columns[names[i]] == nil {
			line, _ := r.FieldPos(i)
			return nil, &Problem{line, names[i], names[i], "one of " + columnNames()}
		}
		seen[names[i]] = true
	}
	for _, must := range []string{"kind", "name", "price"} {
		if !seen[must] {
			return nil, &Problem{1, must, "", "a column of that name"}
		}
	}
	return names, nil
}

func partOf(names, cells []string, line int) (Part, *Problem) {
	var p Part
	for i, cell := range cells {
		cell = unquoted(strings.TrimSpace(cell))
		if cell == "" {
			continue
		}
		if wanted := columns[names[i]](&p, cell); wanted != "" {
			return p, &Problem{line, names[i], cell, wanted}
		}
	}
	for _, must := range needs[p.Kind] {
		if at := at(names, must); at < 0 || strings.TrimSpace(cells[at]) == "" {
			return p, &Problem{line, must, "", fmt.Sprintf("a value: a part of kind %q needs one", p.Kind)}
		}
	}
	return p, nil
}

// likeFormula is what a text begins with that a spreadsheet takes for a formula.
const likeFormula = "=+-@|%\t"

// unquoted drops the quote that keeps a spreadsheet from running a text.
func unquoted(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune(likeFormula, rune(cell[1])) {
		return cell[1:]
	}
	return cell
}

func at(names []string, name string) int {
	for i, n := range names {
		if n == name {
			return i
		}
	}
	return -1
}

// needs lists the columns that a kind cannot do without.
var needs = map[Kind][]string{
	"":         {"kind"},
	Element:    {"name", "size", "flow", "pressure", "rejection", "area", "price"},
	Housing:    {"name", "size", "price"},
	Restrictor: {"name", "flow", "pressure", "price"},
	Booster:    {"name", "flow", "pressure", "shut_off", "price"}, DeliveryPump: {"name", "flow", "pressure", "shut_off", "price"},
	Filter: {"name", "flow", "pressure", "price"}, IronFilter: {"name", "flow", "pressure", "price"},
	Carbon: {"name", "volume", "medium", "price"}, Softener: {"name", "volume", "salt", "price"}, Resin: {"name", "volume", "price"},
	Tank: {"name", "volume", "price"}, PressureTank: {"name", "volume", "price"},
	Aerator: {"name", "price"}, Float: {"name", "price"}, Tube: {"name", "size", "price"},
}

// check finds what no single cell shows.
func (c *Catalogue) check() error {
	seen := map[string]bool{}
	for _, p := range c.Parts {
		key := string(p.Kind) + "/" + p.Name
		if seen[key] {
			return fmt.Errorf("%w: %s %q is listed twice", ErrRead, p.Kind, p.Name)
		}
		seen[key] = true
		if p.Kind == Element {
			if _, ok := c.Sized(Housing, p.Size); !ok {
				return fmt.Errorf("%w: element %q has no housing of size %q", ErrRead, p.Name, p.Size)
			}
		}
		if (p.Kind == Booster || p.Kind == DeliveryPump) && !(p.ShutOff > p.Pressure) {
			return fmt.Errorf("%w: %s %q: its shut-off pressure must be above its pressure at flow", ErrRead, p.Kind, p.Name)
		}
	}
	return nil
}

// column reads one cell into a part and returns what was wanted when it cannot.
type column func(p *Part, cell string) (wanted string)

// cellOf reads a quantity between two bounds in SI.
func cellOf[Q quantity.Quantity](field func(*Part) *Q, low, high Q, example string) column {
	return func(p *Part, cell string) string {
		q, err := quantity.Parse[Q](cell, quantity.Locale{})
		if err != nil || !(low <= q && q <= high) {
			return fmt.Sprintf("a value with its unit, such as %s, within reason", example)
		}
		*field(p) = q
		return ""
	}
}

var columns = map[string]column{
	"kind":        kindCell,
	"name":        textCell(func(p *Part) *string { return &p.Name }),
	"size":        textCell(func(p *Part) *string { return &p.Size }),
	"medium":      textCell(func(p *Part) *string { return &p.Medium }),
	"priced":      dayCell,
	"note":        textCell(func(p *Part) *string { return &p.Note }),
	"flow":        cellOf(func(p *Part) *quantity.Flow { return &p.Flow }, 1e-7, 0.1, `"750 gpd"`),
	"pressure":    cellOf(func(p *Part) *quantity.Pressure { return &p.Pressure }, 100, 1e7, `"60 psi"`),
	"shut_off":    cellOf(func(p *Part) *quantity.Pressure { return &p.ShutOff }, 100, 1e7, `"90 psi"`),
	"rejection":   cellOf(func(p *Part) *quantity.Ratio { return &p.Rejection }, 0.3, 0.9999, `"98.5 %"`),
	"recovery":    cellOf(func(p *Part) *quantity.Ratio { return &p.Recovery }, 0.01, 0.9, `"15 %"`),
	"test_salt":   cellOf(func(p *Part) *quantity.MassConc { return &p.TestSalt }, 1e-3, 50, `"500 mg/L"`),
	"temperature": cellOf(func(p *Part) *quantity.Temperature { return &p.Temperature }, 273.15, 323.15, `"77 F"`),
	"area":        cellOf(func(p *Part) *quantity.Area { return &p.Area }, 0.05, 100, `"28 ft2"`),
	"length":      cellOf(func(p *Part) *quantity.Length { return &p.Length }, 0.05, 1000, `"0.965 m"`),
	"volume":      cellOf(func(p *Part) *quantity.Volume { return &p.Volume }, 1e-5, 200, `"300 gal"`),
	"diameter":    cellOf(func(p *Part) *quantity.Length { return &p.Diameter }, 0.01, 10, `"42 in"`),
	"rating":      cellOf(func(p *Part) *quantity.Length { return &p.Rating }, 1e-8, 1e-2, `"5 um"`),
	"salt":        cellOf(func(p *Part) *quantity.Mass { return &p.Salt }, 0.01, 1000, `"8 lb"`),
	"efficiency":  cellOf(func(p *Part) *quantity.Ratio { return &p.Efficiency }, 0.02, 1, `"35 %"`),
	"power":       cellOf(func(p *Part) *quantity.Power { return &p.Power }, 1, 1e6, `"550 W"`),
	"price":       priceCell(func(p *Part) *Price { return &p.Price }),
	"refill":      priceCell(func(p *Part) *Price { return &p.Refill }),
	"hours":       hoursCell,
}

func columnNames() string {
	return "kind, name, size, flow, pressure, shut_off, rejection, recovery, test_salt, temperature, area, length, volume, diameter, medium, rating, salt, efficiency, power, price, refill, priced, hours, note"
}

func textCell(field func(*Part) *string) column {
	return func(p *Part, cell string) string {
		if len(cell) > 200 {
			return "at most 200 letters"
		}
		*field(p) = cell
		return ""
	}
}

func kindCell(p *Part, cell string) string {
	if p.Kind = Kind(strings.ToLower(cell)); needs[p.Kind] == nil || p.Kind == "" {
		return "filter, iron filter, carbon, softener, booster, element, housing, restrictor, tank, pressure tank, aerator, float, resin, delivery pump or tube"
	}
	return ""
}

// priceCell reads an amount with up to two decimals into minor units.
func priceCell(field func(*Part) *Price) column {
	return func(p *Part, cell string) string {
		x, err := quantity.ParseNumber(cell, quantity.Locale{})
		if err != nil || !(x >= 0 && x <= 1e7) {
			return "an amount such as 210.00, not below nothing"
		}
		*field(p) = Price(x*100 + 0.5)
		return ""
	}
}

func hoursCell(p *Part, cell string) string {
	x, err := quantity.ParseNumber(cell, quantity.Locale{})
	if err != nil || !(x >= 0 && x <= 100) {
		return "hours to put it up, such as 0.5"
	}
	p.Fit = quantity.Hours(x)
	return ""
}
