package answer_test

import (
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"recirc/api/answer"
	"recirc/calc/quantity"
)

// number is how an answer writes x.
func number(t testing.TB, x float64) string {
	t.Helper()
	var w answer.Writer
	w.Number("", x)
	b, err := w.Bytes()
	if err != nil {
		t.Fatalf("%v: %v", x, err)
	}
	return string(b)
}

func TestNumbers(t *testing.T) {
	cases := []struct {
		x    float64
		want string
		why  string
	}{
		{0, "0", ""},
		{math.Copysign(0, -1), "0", "a zero has no sign"},
		{1, "1", "no point where there is nothing behind it"},
		{-1.5, "-1.5", ""},
		{0.1, "0.1", ""},
		{1.0 / 3, "0.333333", ""},
		{2.0 / 3, "0.666667", "rounded, not cut"},
		{12.3456789, "12.3457", ""},
		{12.3, "12.3", ""},
		{100, "100", "zeros before the point stay"},
		{99999.94, "99999.9", ""},
		{99999.96, "100000", "rounds up to a digit more"},
		{9.9999949, "9.99999", ""},
		{9.999996, "10", ""},
		{0.99999949, "0.999999", ""},
		{0.9999996, "1", ""},
		{0.09999996, "0.1", ""},
		{123456.7, "123457", "no digit behind the point is left"},
		{1234567, "1234570", "six digits, without an exponent"},
		{999999.5, "1000000", ""},
		{-7654321, "-7654320", ""},
		{123456789012, "123457000000", ""},
		{999999400000000, "999999000000000", "the last without an exponent"},
		{999999600000000, "1000000000000000", ""},
		{1e15, "1e+15", "a long number has an exponent"},
		{1.2345678e20, "1.23457e+20", ""},
		{0.000123456789, "0.000123457", ""},
		{0.0001, "0.0001", "the least without an exponent"},
		{0.00009999999, "1e-04", "it is the size before rounding that decides"},
		{0.00001, "1e-05", "a small number has an exponent"},
		{-1.2345678e-7, "-1.23457e-07", ""},
		{math.MaxFloat64, "1.79769e+308", ""},
		{math.SmallestNonzeroFloat64, "5e-324", ""},
		{1e-320, "1e-320", "a number below the normal ones"},
	}
	for _, row := range cases {
		if got := number(t, row.x); got != row.want {
			t.Errorf("%v is written %s, want %s; %s", row.x, got, row.want, row.why)
		}
	}
}

// TestNumbersAreTheSixDigits compares with Go's own rounding to six digits, for
// every size of number.
func TestNumbersAreTheSixDigits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1, 10).Draw(t, "digits") * math.Pow10(rapid.IntRange(-12, 18).Draw(t, "power"))
		if rapid.Bool().Draw(t, "negative") {
			x = -x
		}
		var w answer.Writer
		w.Number("", x)
		text, err := w.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		var got float64
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatalf("%v is written %s: %v", x, text, err)
		}
		if want, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 5, 64), 64); got != want {
			t.Fatalf("%v is written %s, which is not %v", x, text, want)
		}
	})
}

func TestNotFiniteIsAnError(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		writers := map[string]func(*answer.Writer){
			"number":   func(w *answer.Writer) { w.Number("x", x) },
			"amount":   func(w *answer.Writer) { w.Amount("x", quantity.PressureDimension, x) },
			"length":   func(w *answer.Writer) { w.Length("x", quantity.Metres(x)) },
			"diameter": func(w *answer.Writer) { w.Diameter("x", quantity.Metres(x)) },
			"volume":   func(w *answer.Writer) { w.Volume("x", quantity.CubicMetres(x)) },
			"flow":     func(w *answer.Writer) { w.Flow("x", quantity.CubicMetresPerSecond(x)) },
			"duration": func(w *answer.Writer) { w.Duration("x", quantity.Seconds(x)) },
			"in unit":  func(w *answer.Writer) { w.AmountIn("x", &quantity.LengthDimension.US, x) },
			"flow if":  func(w *answer.Writer) { w.FlowIf("x", quantity.CubicMetresPerSecond(x)) },
		}
		for name, write := range writers {
			var w answer.Writer
			w.OpenObject("")
			write(&w)
			w.Number("y", 1) // a good number behind it changes nothing
			w.CloseObject()
			if b, err := w.Bytes(); err == nil || b != nil {
				t.Errorf("%s of %v is written %s", name, x, b)
			}
		}
	}
}

// TestWriterWritesJSON reads back an answer with every kind of member.
func TestWriterWritesJSON(t *testing.T) {
	write := func(w *answer.Writer) {
		w.OpenObject("")
		w.Text("text", "a \"quoted\" line\n\u00e9\u2028")
		w.Text("broken", "\xff")
		w.TextIf("no_text", "")
		w.TextIf("some_text", "x")
		w.Count("count", 3)
		w.Bool("yes", true)
		w.NumberIf("no_number", 0)
		w.NumberIf("some_number", 2.5)
		w.OpenList("empty")
		w.CloseList()
		w.OpenList("list")
		w.Count("", 1)
		w.OpenObject("")
		w.CloseObject()
		w.OpenObject("")
		w.Length("length", quantity.Metres(3.048))
		w.CloseObject()
		w.CloseList()
		w.Diameter("bore", quantity.Millimetres(25.4))
		w.Volume("volume", quantity.CubicMetres(0.003785411784))
		w.Flow("flow", quantity.CubicMetresPerSecond(0.003785411784/60))
		w.Duration("wait", quantity.Seconds(7))
		w.Pressure("drop", quantity.Pascals(6894.757293168361))
		w.Velocity("velocity", quantity.MetresPerSecond(0.3048))
		w.AmountIn("feet", &quantity.LengthDimension.US, 3.048)
		w.FlowIf("no_flow", quantity.Flow{})
		w.TemperatureIf("no_temperature", quantity.Temperature{})
		w.TemperatureIf("cold", quantity.Celsius(0))
		w.FlowCoefficientIf("no_kv", quantity.FlowCoefficient{})
		w.FlowCoefficientIf("kv", quantity.FlowCoefficientSI(quantity.FlowCoefficientDimension.US.ToSI(1)))
		w.CloseObject()
	}
	const head = `{"text":"a \"quoted\" line\né` + "\u2028" + `","broken":"` + "\ufffd" + `","some_text":"x","count":3,"yes":true,"some_number":2.5,"empty":[],`
	for us, want := range map[bool]string{
		false: head + `"list":[1,{},{"length":{"value":3.048,"unit":"m"}}],"bore":{"value":25.4,"unit":"mm"},"volume":{"value":3.78541,"unit":"L"},"flow":{"value":3.78541,"unit":"L/min"},"wait":{"value":7,"unit":"s"},` +
			`"drop":{"value":6.89476,"unit":"kPa"},"velocity":{"value":0.3048,"unit":"m/s"},"feet":{"value":10,"unit":"ft"},"cold":{"value":0,"unit":"degC"},"kv":{"value":0.864978,"unit":"m3/h"}}`,
		true: head + `"list":[1,{},{"length":{"value":10,"unit":"ft"}}],"bore":{"value":1,"unit":"in"},"volume":{"value":1,"unit":"gal"},"flow":{"value":1,"unit":"gal/min"},"wait":{"value":7,"unit":"s"},` +
			`"drop":{"value":1,"unit":"psi"},"velocity":{"value":1,"unit":"ft/s"},"feet":{"value":10,"unit":"ft"},"cold":{"value":32,"unit":"degF"},"kv":{"value":1,"unit":"gal/min"}}`,
	} {
		w := answer.Writer{US: us}
		write(&w)
		got, err := w.Bytes()
		if err != nil || string(got) != want || !json.Valid(got) {
			t.Errorf("US %v: %v\n%s\nwant\n%s", us, err, got, want)
		}
	}
}
