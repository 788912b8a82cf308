package quantity

import "testing"

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"60 psi", "4 BAR", "0.4\u00a0MPa", "1,285.5 inches of water", "3 gpm"} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _ = Parse[Pressure](text, Locale{})
			}
		})
	}
}

func BenchmarkParseNumber(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = ParseNumber("1,285.75", Locale{})
	}
}

func BenchmarkFormat(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_ = Format(PSI(61.7), SI)
	}
}

func BenchmarkExact(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = Exact(PSI(61.7), "psi")
	}
}
