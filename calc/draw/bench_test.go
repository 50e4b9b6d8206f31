package draw_test

import (
	"testing"

	"recirc/calc/draw"
	"recirc/calc/quantity"
)

// BenchmarkSpread deals the profile XL to 15 fixtures.
func BenchmarkSpread(b *testing.B) {
	events, err := patternOf(b, "eu_xl").Events(draw.Conditions{Hot: quantity.Celsius(60), Cold: quantity.Celsius(10)})
	if err != nil {
		b.Fatal(err)
	}
	fixtures := make([]draw.Fixture, 15)
	for i := range fixtures {
		fixtures[i] = draw.Fixture{ID: string(rune('a' + i)), Share: float64(1 + i%4)}
	}
	for b.Loop() {
		if _, err := draw.Spread(events, fixtures); err != nil {
			b.Fatal(err)
		}
	}
}
