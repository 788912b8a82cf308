package quantity

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anySize draws finite numbers of every size, and often of a usual one.
func anySize(t *rapid.T) float64 {
	if rapid.Bool().Draw(t, "usual") {
		return rapid.Float64Range(-2000, 2000).Draw(t, "x")
	}
	if rapid.Bool().Draw(t, "any") {
		return rapid.Float64().Draw(t, "x")
	}
	exponent := rapid.IntRange(-300, 300).Draw(t, "exponent")
	return rapid.Float64Range(-10, 10).Draw(t, "mantissa") * math.Pow10(exponent)
}

func TestExactParsesBackBitForBit(t *testing.T) {
	for _, d := range doors {
		for _, u := range indexes[d.kind].units {
			t.Run(string(d.kind)+" in "+u.plain, func(t *testing.T) {
				rapid.Check(t, func(t *rapid.T) {
					x := rapid.Custom(anySize).Draw(t, "si")
					text, err := d.exact(x, u.plain)
					if err != nil {
						t.Fatal(err)
					}
					got, err := d.parse(text, Locale{})
					if err != nil || math.Float64bits(got) != math.Float64bits(x) {
						t.Fatalf("%v prints as %q, which reads as %v, %v", x, text, got, err)
					}
				})
			})
		}
	}
}

// What a person typed, in any unit, comes back as typed or shorter.
func TestExactGivesBackWhatWasTyped(t *testing.T) {
	for _, d := range doors {
		for _, u := range indexes[d.kind].units {
			rapid.Check(t, func(t *rapid.T) {
				typed := float64(rapid.IntRange(-99999, 99999).Draw(t, "n")) / math.Pow10(rapid.IntRange(0, 4).Draw(t, "decimals"))
				text, err := d.exact(u.toSI(typed), u.plain)
				want := plainDigits(typed)
				if u.name != "" {
					want += " " + u.plain
				}
				if err != nil || len(text) > len(want) {
					t.Fatalf("%s %v prints as %q, %v; want %q", d.kind, typed, text, err, want)
				}
			})
		}
	}
}

func TestFormatParsesBackWithinHalfADigitAndStays(t *testing.T) {
	for _, d := range doors {
		t.Run(string(d.kind), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				s := rapid.SampledFrom(systems).Draw(t, "system")
				loc := rapid.SampledFrom(locales).Draw(t, "locale")
				checkFormat(t, d, rapid.Custom(anySize).Draw(t, "si"), s, loc)
			})
		})
	}
}

// Just below and above each bound between units is where digits get lost.
func TestFormatHoldsWhereUnitsChange(t *testing.T) {
	for _, d := range doors {
		for _, s := range systems {
			for _, size := range shown[d.kind].in(s) {
				if size.below == 0 {
					continue
				}
				u := mustFind(d.kind, size.unit)
				rapid.Check(t, func(t *rapid.T) {
					x := size.below * (1 + rapid.Float64Range(-0.012, 0.012).Draw(t, "off"))
					checkFormat(t, d, u.toSI(x), s, Locale{})
				})
			}
		}
	}
}

type fatal interface {
	Helper()
	Fatalf(string, ...any)
}

func checkFormat(t fatal, d door, x float64, s System, loc Locale) {
	t.Helper()
	text := d.format(x, s, loc)
	got, err := d.parse(text, loc)
	if err != nil {
		t.Fatalf("%s %v prints as %q: %v", d.kind, x, text, err)
	}
	half := 0.005 * math.Abs(x) // of the third figure
	if shown[d.kind].style == oneDecimal && math.Abs(x) < 1e8 {
		half = 0.05
	}
	if !(math.Abs(got-x) <= half*(1+1e-9)+1e-15*math.Abs(x)) {
		t.Fatalf("%s %v prints as %q, which is %v, off by more than %v", d.kind, x, text, got, half)
	}
	if again := d.format(got, s, loc); again != text {
		t.Fatalf("%s %v prints as %q, and that as %q", d.kind, x, text, again)
	}
}

func TestPlainAndInUndoEachOther(t *testing.T) {
	for _, d := range doors {
		rapid.Check(t, func(t *rapid.T) {
			x := rapid.Float64Range(-1e6, 1e6).Draw(t, "si")
			for _, s := range systems {
				value, unit := d.plain(x, s)
				same, err := d.in(x, unit)
				if err != nil || same != value || unit != d.plainUnit(s) {
					t.Fatalf("%s %v is %v %s plainly and %v in it, %v", d.kind, x, value, unit, same, err)
				}
				if back := mustFind(d.kind, unit).toSI(value); !(math.Abs(back-x) <= 4e-16*math.Abs(x)+1e-12) {
					t.Fatalf("%s %v comes back as %v", d.kind, x, back)
				}
			}
		})
	}
}

// Of the values that arithmetic can produce, some have no decimal in some unit.
// They are few enough that a file stays readable.
func TestMostValuesHaveADecimalInTheirUnit(t *testing.T) {
	const draws = 2000
	worst, worstUnit := 1.0, ""
	for _, d := range doors {
		for _, s := range systems {
			u, found := mustFind(d.kind, d.plainUnit(s)), 0
			x := 0.7320508
			for range draws {
				x = math.Mod(x*16807.13, 1000) // a spread of mantissas
				if _, ok := u.shortest(x); ok {
					found++
				}
			}
			if share := float64(found) / draws; share < worst {
				worst, worstUnit = share, u.plain
			}
		}
	}
	t.Logf("fewest: %.0f %% of values have a decimal in %s", 100*worst, worstUnit)
	if worst < 0.4 {
		t.Errorf("only %.2f of values have a decimal in %s", worst, worstUnit)
	}
}
