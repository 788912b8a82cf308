package cli

import (
	"fmt"
	"io"
	"os"
	"strings"

	"rinsewright/quantity"
	"rinsewright/water"
)

var blendDoor = calcDoor{
	name: "blend", about: "two waters mixed",
	notes: "The waters stand in the file that `--waters` names, as rows of the columns of water. Closed vessel.",
	flags: []string{"--waters"},
	keys: []calcColumn{
		textColumn("blend_id", "any name; comes back unchanged"),
		{name: "water_a", about: "id of the first water", text: true, needed: true},
		{name: "water_b", about: "id of the second water", text: true, needed: true},
		needColumn("fraction_a_by_water_mass", "", "share of the first, by mass of water", 0, 1),
	},
	inputs:  []calcColumn{mayColumn("temp_C", "°C", "temperature; empty is what mixing gives", coldest, warmest, "")},
	results: describedColumns,
	compute: func(s calcSetting, r calcRow) (calcAnswer, error) {
		a, err := s.waterNamed("water_a", r)
		if err != nil {
			return nil, err
		}
		b, err := s.waterNamed("water_b", r)
		if err != nil {
			return nil, err
		}
		share := quantity.Ratio(r.number("fraction_a_by_water_mass"))
		if !r.has("temp_C") {
			d, err := water.DescribeBlend(a, b, share)
			return describedOr(d, err)
		}
		return blendedAt(a, b, share, quantity.Celsius(r.number("temp_C")))
	},
}

// namedWater is a row of the waters, or why it could not be read.
type namedWater struct {
	analysis water.Analysis
	problem  error
}

// waterNamed returns the water whose id stands in a column.
func (s calcSetting) waterNamed(column string, r calcRow) (water.Analysis, error) {
	w, known := s.waters[r.text(column)]
	if !known {
		return w.analysis, fmt.Errorf("%s: read %q, wanted an id of the waters", column, r.text(column))
	}
	if w.problem != nil {
		return w.analysis, fmt.Errorf("%s: water %q: %w", column, r.text(column), w.problem)
	}
	return w.analysis, nil
}

func blendedAt(a, b water.Analysis, share quantity.Ratio, t quantity.Temperature) (calcAnswer, error) {
	first, _, err := a.Water()
	if err != nil {
		return nil, err
	}
	second, _, err := b.Water()
	if err != nil {
		return nil, err
	}
	d, err := water.Describe(water.Blend(first, second, share).At(t))
	return describedOr(d, err)
}

// readWaters reads the waters that blend mixes; two of one id are refused.
func readWaters(file string) (map[string]namedWater, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, fmt.Errorf("waters: %w", err)
	}
	defer f.Close()
	reader, _, err := openRows(f)
	if err != nil {
		return nil, fmt.Errorf("waters in %s: %w", file, err)
	}
	waters := map[string]namedWater{}
	for {
		record, err := reader.next()
		if err == io.EOF {
			return waters, nil
		}
		if err != nil {
			return nil, fmt.Errorf("waters in %s: %w", file, err)
		}
		id := strings.TrimSpace(record.fields["id"])
		if _, twice := waters[id]; twice {
			return nil, fmt.Errorf("waters in %s: id %q stands twice", file, id)
		}
		row, err := waterDoor.read(record)
		waters[id] = namedWater{analysisOf(row), err}
	}
}
