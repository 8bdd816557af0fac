package quantity

import "testing"

func BenchmarkText(b *testing.B) {
	cases := []struct {
		name string
		text func() string
	}{
		{"length in inches", func() string { return (12 * Millimetre).Text(US) }},
		{"temperature", func() string { return Temperature(121.1).Text(SI) }},
		{"current", func() string { return Current(120).Text(SI) }},
		{"three figures", func() string { return (45.3 * SquareMillimetre).Text(SI) }},
		{"range", func() string { return Span(10*Millimetre, 25*Millimetre).Text(SI) }},
		{"minimum", func() string { return Temperature(121.2).MinimumText(US) }},
		{"exact", func() string { return (12 * Millimetre).Exact("in") }},
	}
	for _, c := range cases {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c.text()
			}
		})
	}
}

func BenchmarkRead(b *testing.B) {
	for _, text := range []string{`12 mm`, `1-1/2"`, `2 ft 6 in`, `12 mil`} {
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _ = ReadKind(KindLength, text, ReadAs{What: "thickness"})
			}
		})
	}
}

func BenchmarkTables(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		mustReadLexicons(unitsCSV, wordsCSV)
		mustReadPrintings(printsCSV)
	}
}
