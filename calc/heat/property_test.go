package heat

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
	"recirc/calc/water"
)

// drawPipe draws a pipe as buildings have them, and some odd ones.
func drawPipe(t *rapid.T) Pipe {
	f := func(low, high float64, label string) float64 { return rapid.Float64Range(low, high).Draw(t, label) }
	bore := f(0.005, 0.2, "bore")
	p := Pipe{
		Tube: Tube{
			Bore: quantity.Metres(bore), Outside: quantity.Metres(bore + 2*f(0.0003, 0.01, "wall")),
			Conductivity: quantity.WattsPerMetreKelvin(rapid.SampledFrom([]float64{0.14, 0.4, 16, 390}).Draw(t, "wall k")),
			HeatCapacity: f(1e6, 4e6, "wall heat"), Roughness: quantity.Metres(f(0, 1e-4, "roughness")),
		},
		Orientation: rapid.SampledFrom([]Orientation{"", Horizontal, Vertical}).Draw(t, "orientation"),
		Height:      quantity.Metres(rapid.SampledFrom([]float64{0, 0.5, 3, 30}).Draw(t, "height")),
		Surroundings: Surroundings{
			Kind:        rapid.SampledFrom([]Kind{StillAir, MovingAir, Buried, InSlab, GivenCoefficient}).Draw(t, "kind"),
			Temperature: quantity.Celsius(f(-30, 60, "ambient")), Emissivity: f(0, 1, "emissivity"),
			AirSpeed:           quantity.MetresPerSecond(f(0, 10, "wind")),
			GroundConductivity: quantity.WattsPerMetreKelvin(f(0.3, 3, "ground k")),
			Coefficient:        quantity.WattsPerSquareMetreKelvin(f(2, 60, "coefficient")),
		},
	}
	for range rapid.IntRange(0, 3).Draw(t, "layers") {
		p.Layers = append(p.Layers, Layer{
			Thickness: quantity.Metres(f(0, 0.06, "thickness")), HeatCapacity: f(0, 2e5, "layer heat"),
			Conductivity: Conductivity{
				K: quantity.WattsPerMetreKelvin(f(0.02, 0.3, "k")), Reference: quantity.Celsius(10),
				PerKelvin: rapid.SampledFrom([]float64{0, 0, 1.5e-4, -5e-5}).Draw(t, "per kelvin"),
			},
		})
	}
	p.Surroundings.Depth = quantity.Metres(p.OuterDiameter().Metres() * f(0.51, 20, "depth"))
	return p
}

func drawWater(t *rapid.T) quantity.Temperature {
	return quantity.Celsius(rapid.Float64Range(0, 110).Draw(t, "water"))
}

func drawFlow(t *rapid.T) quantity.Flow {
	return quantity.CubicMetresPerSecond(rapid.SampledFrom([]float64{0, 1e-6, 2e-5, 5e-5, 3e-4, 2e-3}).Draw(t, "flow"))
}

// solved is a pipe with its loss; the loss must be there for any ordinary pipe.
func solved(t *rapid.T, p Pipe, T quantity.Temperature, q quantity.Flow) Loss {
	l, err := p.Loss(T, q)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestResistancesSum: the loss is the difference over their sum.
func TestResistancesSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, T := drawPipe(t), drawWater(t)
		p.FittingsAllowance = rapid.Float64Range(0, 0.5).Draw(t, "allowance")
		l := solved(t, p, T, drawFlow(t))
		sum := l.InsideFilm + l.Wall + l.Insulation + l.Outside
		q := l.PerMetre.WattsPerMetre()
		difference := T.Kelvin() - l.Ambient.Kelvin()
		if math.Abs(q/(1+p.FittingsAllowance)*sum-difference) > 1e-9*math.Abs(difference)+1e-12 {
			t.Fatalf("%g W/m times %g m.K/W is not %g K", q, sum, difference)
		}
		if math.Abs(l.UA*difference-q) > 1e-9*math.Abs(q)+1e-12 {
			t.Fatalf("UA %g times %g K is not %g W/m", l.UA, difference, q)
		}
		// The surface found lies where the resistances put it, and the film of air
		// gives off there what comes through.
		surface := l.Ambient.Kelvin() + difference*l.Outside/sum
		if math.Abs(surface-l.Surface.Kelvin()) > 1e-5*math.Abs(difference)+2e-6 {
			t.Fatalf("surface %g K, by the resistances %g K", l.Surface.Kelvin(), surface)
		}
	})
}

// TestWarmerWaterLosesMore, and UA with it, where the film of air drives it.
func TestWarmerWaterLosesMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPipe(t)
		colder := rapid.Float64Range(0, 105).Draw(t, "colder")
		warmer := colder + rapid.Float64Range(0.5, 5).Draw(t, "by")
		a, b := solved(t, p, quantity.Celsius(colder), quantity.Flow{}), solved(t, p, quantity.Celsius(warmer), quantity.Flow{})
		if !(b.PerMetre.WattsPerMetre() > a.PerMetre.WattsPerMetre()) {
			t.Fatalf("%g degC: %+v, %g degC: %+v", colder, a.PerMetre, warmer, b.PerMetre)
		}
	})
}

// TestReversedTemperaturesReverseTheLoss where nothing depends on temperature;
// in air the two differ by what the air's own temperature does.
func TestReversedTemperaturesReverseTheLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, T := drawPipe(t), drawWater(t)
		for i := range p.Layers {
			p.Layers[i].Conductivity.PerKelvin = 0
		}
		air := p.Surroundings.Kind == StillAir || p.Surroundings.Kind == MovingAir
		there := solved(t, p, T, quantity.Flow{}).PerMetre.WattsPerMetre()
		ambient := p.Surroundings.Temperature
		p.Surroundings.Temperature = T
		back := solved(t, p, ambient, quantity.Flow{}).PerMetre.WattsPerMetre()
		tolerance := 1e-9
		if air {
			tolerance = 0.45 // radiation goes with the third power of the mean temperature
		}
		if !(math.Abs(there+back) <= tolerance*math.Abs(there)+1e-12) {
			t.Fatalf("%g W/m one way, %g W/m the other", there, back)
		}
	})
}

// TestNoDifferenceNoLoss, but a coefficient, which joins those of small
// differences without a jump.
func TestNoDifferenceNoLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPipe(t)
		T := p.Surroundings.Temperature
		l := solved(t, p, T, quantity.Flow{})
		if l.PerMetre.WattsPerMetre() != 0 || !(l.UA > 0) {
			t.Fatalf("%+v W/m, UA %g", l.PerMetre, l.UA)
		}
		for _, off := range []float64{1e-13, 1e-9, 1.1e-6} {
			nearly := solved(t, p, quantity.Kelvin(T.Kelvin()+off), quantity.Flow{})
			if math.Abs(nearly.UA-l.UA) > 0.05*l.UA {
				t.Fatalf("UA %g, %g K warmer: %g", l.UA, off, nearly.UA)
			}
		}
	})
}

// TestMoreInsulationLosesLess once the radius is above the critical one.
func TestMoreInsulationLosesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, T := drawPipe(t), drawWater(t)
		p.Surroundings.Kind = rapid.SampledFrom([]Kind{StillAir, MovingAir, GivenCoefficient}).Draw(t, "kind of air")
		k := rapid.Float64Range(0.02, 0.3).Draw(t, "outermost k")
		before := solved(t, p, T, quantity.Flow{})
		h := quantity.WattsPerSquareMetreKelvin(before.Convection + before.Radiation)
		critical, err := CriticalRadius(quantity.WattsPerMetreKelvin(k), h)
		if err != nil {
			t.Fatal(err)
		}
		if p.OuterDiameter().Metres()/2 < critical.Metres() || math.Abs(T.Kelvin()-p.Surroundings.Temperature.Kelvin()) < 1 {
			t.Skip("below the critical radius, or nothing to lose")
		}
		p.Layers = append(p.Layers, cover(rapid.Float64Range(0.001, 0.05).Draw(t, "more"), k, 0)...)
		after := solved(t, p, T, quantity.Flow{})
		if !(math.Abs(after.PerMetre.WattsPerMetre()) < math.Abs(before.PerMetre.WattsPerMetre())) {
			t.Fatalf("%g W/m became %g W/m", before.PerMetre.WattsPerMetre(), after.PerMetre.WattsPerMetre())
		}
	})
}

// TestThinCoverBelowTheCriticalRadius: with h held fixed, the loss is greatest
// at the critical radius: less at half of it and at twice.
func TestThinCoverBelowTheCriticalRadius(t *testing.T) {
	const k, h, r1 = 0.2, 8.0, 0.005
	critical, err := CriticalRadius(quantity.WattsPerMetreKelvin(k), quantity.WattsPerSquareMetreKelvin(h))
	if err != nil {
		t.Fatal(err)
	}
	loss := func(radius float64) float64 {
		p := Pipe{
			Tube: Tube{Bore: quantity.Metres(2 * r1), Outside: quantity.Metres(2 * r1)}, Layers: cover(radius-r1, k, 0),
			Surroundings: Surroundings{Kind: GivenCoefficient, Temperature: quantity.Celsius(20), Coefficient: quantity.WattsPerSquareMetreKelvin(h)},
		}
		return mustLoss(t, p, quantity.Celsius(60), quantity.Flow{}).PerMetre.WattsPerMetre()
	}
	r := critical.Metres()
	for _, off := range []float64{0.5, 0.9, 0.99, 1.01, 1.1, 2} {
		if !(loss(r*off) < loss(r)) {
			t.Errorf("at %g of the critical radius %g W/m, at it %g W/m", off, loss(r*off), loss(r))
		}
	}
}

// TestSplittingALayerChangesNothing: two layers of one material are one.
func TestSplittingALayerChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, T, q := drawPipe(t), drawWater(t), drawFlow(t)
		p.Layers = append([]Layer{}, p.Layers[:min(len(p.Layers), 2)]...)
		p.Layers = append(p.Layers, Layer{
			Thickness:    quantity.Metres(0.03),
			Conductivity: Conductivity{K: quantity.WattsPerMetreKelvin(0.04), Reference: quantity.Celsius(40), PerKelvin: 2e-4},
		})
		p.Surroundings.Depth = quantity.Metres(0.7 * p.OuterDiameter().Metres())
		whole := solved(t, p, T, q)
		last := p.Layers[len(p.Layers)-1]
		inner, outer := last, last
		inner.Thickness = quantity.Metres(0.03 * rapid.Float64Range(0.01, 0.99).Draw(t, "part"))
		outer.Thickness = quantity.Metres(0.03 - inner.Thickness.Metres())
		p.Layers = append(p.Layers[:len(p.Layers)-1], inner, outer)
		split := solved(t, p, T, q)
		if math.Abs(whole.UA-split.UA) > 3e-6*whole.UA {
			t.Fatalf("UA %g, split %g", whole.UA, split.UA)
		}
	})
}

// TestCoolingConservesEnergy: what flows out during the cooling is what capacity
// and drop hold. The path is asked for at many temperatures, and loss and
// capacity are asked for anew at each.
func TestCoolingConservesEnergy(t *testing.T) {
	for _, p := range []Pipe{nominal(nil), nominal(cover(0.013, 0.035, 56000)), buriedNominal()} {
		const steps = 400
		var to []quantity.Temperature
		for i := range steps + 1 {
			to = append(to, quantity.Celsius(65-30*float64(i)/steps))
		}
		path, err := p.CoolDown(to[0], to, CoolDownOptions{})
		if err != nil {
			t.Fatal(err)
		}
		out, stored := 0.0, 0.0
		for i := range steps {
			a, b := mustLoss(t, p, to[i], quantity.Flow{}), mustLoss(t, p, to[i+1], quantity.Flow{})
			// The loss falls exponentially within a step: its logarithmic mean.
			qa, qb := a.PerMetre.WattsPerMetre(), b.PerMetre.WattsPerMetre()
			out += (qa - qb) / math.Log(qa/qb) * (path[i+1].After.Seconds() - path[i].After.Seconds())
			middle, err := p.Capacity(quantity.Kelvin((to[i].Kelvin()+to[i+1].Kelvin())/2), nil)
			if err != nil {
				t.Fatal(err)
			}
			stored += middle.Total() * (to[i].Kelvin() - to[i+1].Kelvin())
		}
		near(t, "heat given off", out, stored, 1e-6)
	}
}

func buriedNominal() Pipe {
	p := nominal(cover(0.02, 0.03, 60000))
	p.Surroundings = Surroundings{Kind: Buried, Temperature: quantity.Celsius(10), Depth: quantity.Metres(0.8), GroundConductivity: quantity.WattsPerMetreKelvin(1.5)}
	return p
}

// TestCoolingInStages: the times of a list are those of each temperature alone,
// in whatever order, and a stop on the way adds up. In moving air the coefficient
// has a kink where natural convection ends, which the quadrature feels; nearer to
// ambient than this a vertical pipe has one too.
func TestCoolingInStages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPipe(t)
		start := rapid.Float64Range(p.Surroundings.Temperature.Celsius(), 110).Draw(t, "start")
		if start < 1 {
			t.Skip("ice")
		}
		low := max(0, p.Surroundings.Temperature.Celsius()+0.5)
		if low >= start {
			t.Skip("nothing to cool")
		}
		var to []quantity.Temperature
		for range 3 {
			to = append(to, quantity.Celsius(rapid.Float64Range(low, start).Draw(t, "to")))
		}
		tolerance := 2e-5
		if p.Surroundings.Kind == MovingAir {
			tolerance = 3e-3
		}
		alike := func(a, b float64) bool { return math.Abs(a-b) <= tolerance*math.Abs(b)+1e-6 }
		all, err := p.CoolDown(quantity.Celsius(start), to, CoolDownOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range to {
			one, err := p.CoolDown(quantity.Celsius(start), to[i:i+1], CoolDownOptions{})
			if err != nil || !all[i].Reached || all[i].To != to[i] || !alike(all[i].After.Seconds(), one[0].After.Seconds()) {
				t.Fatalf("%+v, alone %+v, %v", all[i], one, err)
			}
			for j := range to {
				if to[i].Kelvin() <= to[j].Kelvin() {
					rest, err := p.CoolDown(to[j], to[i:i+1], CoolDownOptions{})
					if err != nil || !alike(all[j].After.Seconds()+rest[0].After.Seconds(), all[i].After.Seconds()) {
						t.Fatalf("%+v and %+v, at once %+v, %v", all[j], rest, all[i], err)
					}
				}
			}
		}
	})
}

// TestLongCooling: down to a thousandth of a kelvin above ambient, at once and in
// forty stages.
func TestLongCooling(t *testing.T) {
	p := nominal(nil)
	var stages []quantity.Temperature
	for i := range 40 {
		stages = append(stages, quantity.Celsius(20+75*math.Pow(0.001/75, float64(i+1)/40)))
	}
	last := stages[39]
	staged, err := p.CoolDown(quantity.Celsius(95), stages, CoolDownOptions{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at once", coolsIn(t, p, quantity.Celsius(95), last, CoolDownOptions{}), staged[39].After.Seconds(), 2e-6)
}

// TestFilmGrowsWithFlow without a jump anywhere, through laminar, transition and
// turbulent flow.
func TestFilmGrowsWithFlow(t *testing.T) {
	w, err := water.At(quantity.Celsius(55))
	if err != nil {
		t.Fatal(err)
	}
	tube := Tube{Bore: quantity.Metres(0.02), Outside: quantity.Metres(0.022), Roughness: quantity.Metres(1.5e-6)}
	last := Film{Nusselt: 3.66}
	seen := map[Regime]bool{}
	for re := 10.0; re < 1e6; re *= 1.002 {
		f, err := InsideFilm(tube, quantity.CubicMetresPerSecond(re*w.KinematicViscosity()*math.Pi*0.02/4), w)
		if err != nil {
			t.Fatal(err)
		}
		if f.Nusselt < last.Nusselt || f.Nusselt > 1.05*last.Nusselt {
			t.Fatalf("from %+v to %+v", last, f)
		}
		if f.Notes.Has(NoteTransition) != (f.Regime == Transition) {
			t.Fatalf("%+v", f)
		}
		last, seen[f.Regime] = f, true
	}
	if len(seen) != 3 {
		t.Errorf("regimes %v", seen)
	}
	if f, err := InsideFilm(tube, quantity.Flow{}, w); err != nil || f.Regime != Standing || f.Nusselt != 0 {
		t.Errorf("without flow: %+v, %v", f, err)
	}
}
