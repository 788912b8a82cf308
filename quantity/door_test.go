package quantity

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// A door is the generic API of one kind over plain float64, so that a test can
// walk all kinds.
type door struct {
	kind      Kind
	parse     func(string, Locale) (float64, error)
	format    func(float64, System, Locale) string
	exact     func(float64, string) (string, error)
	in        func(float64, string) (float64, error)
	plain     func(float64, System) (float64, string)
	plainUnit func(System) string
}

func doorOf[Q Quantity]() door {
	var q Q
	return door{
		kind:      q.kind(),
		parse:     func(s string, l Locale) (float64, error) { q, err := Parse[Q](s, l); return float64(q), err },
		format:    func(x float64, s System, l Locale) string { return FormatLocale(Q(x), s, l) },
		exact:     func(x float64, unit string) (string, error) { return Exact(Q(x), unit) },
		in:        func(x float64, unit string) (float64, error) { return In(Q(x), unit) },
		plain:     func(x float64, s System) (float64, string) { return Plain(Q(x), s) },
		plainUnit: PlainUnit[Q],
	}
}

var doors = []door{
	doorOf[Pressure](), doorOf[Flow](), doorOf[Volume](), doorOf[Length](), doorOf[Area](), doorOf[Mass](),
	doorOf[Temperature](), doorOf[TemperatureDifference](), doorOf[Time](), doorOf[Power](), doorOf[Energy](),
	doorOf[Ratio](), doorOf[Speed](), doorOf[Flux](), doorOf[Conductivity](), doorOf[Resistivity](),
	doorOf[Density](), doorOf[Viscosity](), doorOf[Diffusivity](), doorOf[MassConc](), doorOf[CaCO3Conc](),
	doorOf[MolarConc](), doorOf[EquivConc](), doorOf[WaterPermeability](), doorOf[SaltPermeability](), doorOf[Exposure](),
	doorOf[PH](),
}

var systems = []System{US, SI}

var locales = []Locale{{}, {DecimalComma: true}}

func TestEveryKindIsInEveryTable(t *testing.T) {
	if len(doors) != len(unitTable) || len(doors) != len(indexes) || len(doors) != len(shown) ||
		len(doors) != len(plainUnits) || len(doors) != len(examples) {
		t.Errorf("%d kinds, but %d in the unit table, %d indexes, %d shown, %d plain units, %d examples",
			len(doors), len(unitTable), len(indexes), len(shown), len(plainUnits), len(examples))
	}
	for _, d := range doors {
		if indexes[d.kind] == nil || examples[d.kind] == "" {
			t.Errorf("%s has no units or no example", d.kind)
		}
	}
}

// A type that joins the package without units would have nothing to be read by.
func TestEveryTypeHasADoor(t *testing.T) {
	method := regexp.MustCompile(`(?m)^func \((\w+)\) kind\(\) Kind`)
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	types := 0
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		types += len(method.FindAll(text, -1))
	}
	if types != len(doors) {
		t.Errorf("%d types, %d doors", types, len(doors))
	}
}
