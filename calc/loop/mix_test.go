package loop

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

func mustMix(t failer, n *Network, q []float64, heat float64) *Warmth {
	t.Helper()
	w, err := n.Temperatures(q, heat)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return w
}

// closesAtNodes checks mass and heat at every node from links alone: what flows in
// and enters is what flows out and is drawn, to 1e-9. Mass is relative to the
// greatest flow, because flows are found so; heat to what the node's water holds
// above 0 K, and rests on no more than the flows.
func closesAtNodes(t failer, n *Network, f *Flows, w *Warmth) {
	t.Helper()
	mass, heat, through, greatest := make([]float64, n.Nodes), make([]float64, n.Nodes), make([]float64, n.Nodes), startSpeed
	for i, q := range f.Q {
		l := &n.Links[i]
		mass[l.From] -= q
		mass[l.To] += q
		greatest = max(greatest, math.Abs(q))
		if math.Abs(q) <= leastFlow {
			continue
		}
		end := l.To
		if q < 0 {
			end = l.From
		}
		heat[end] += math.Abs(q) * (w.Out[i] - w.Node[end])
		through[end] += math.Abs(q * w.Out[i])
	}
	over := 0.0
	for i, q := range n.Inflow {
		mass[i] += q
		over += q
		if q > 0 {
			heat[i] += q * (n.Mains.Kelvin() - w.Node[i])
			through[i] += q * n.Mains.Kelvin()
		}
	}
	mass[n.Root] -= over
	if over < 0 { // the root gives what is missing
		heat[n.Root] -= over * (n.Mains.Kelvin() - w.Node[n.Root])
		through[n.Root] -= over * n.Mains.Kelvin()
	}
	for i := range mass {
		if math.Abs(mass[i]) > 1e-9*greatest {
			t.Fatalf("%g m3/s are missing at node %d, the greatest flow is %g", mass[i], i, greatest)
		}
		if !(math.Abs(heat[i]) <= 1e-12*through[i]) {
			t.Fatalf("%g K m3/s of %g are missing at node %d", heat[i], through[i], i)
		}
	}
}

// heatOfAll adds up what heaters give, pipes lose and draws take, W. It gives what
// is missing, and the most that may be: 1e-9 of what moves, and the heat above 0 K of
// the water that is missing in the mass balance.
func heatOfAll(n *Network, f *Flows, w *Warmth, heat float64) (missing, allowed float64) {
	greatest, over := startSpeed, 0.0
	for i, q := range f.Q {
		greatest = max(greatest, math.Abs(q))
		if math.Abs(q) > leastFlow {
			given := math.Abs(q) * heat * (w.Out[i] - w.In[i])
			missing, allowed = missing+given, allowed+1e-9*math.Abs(given)
		}
	}
	draw := func(node int, q float64) { missing -= q * heat * (w.Node[node] - n.Mains.Kelvin()) }
	for i, q := range n.Inflow {
		if over += q; q < 0 {
			draw(i, -q)
		}
	}
	draw(int(n.Root), max(over, 0))
	lost := float64(n.Nodes)*(f.MassResidual+1e-15)*greatest + float64(len(f.Q))*leastFlow
	return missing, allowed + lost*heat*350
}

// TestHeatCloses at every node and over the whole, with circles, injections and
// draws.
func TestHeatCloses(t *testing.T) {
	circles := 0
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		for i := range n.Inflow {
			if rapid.IntRange(0, 4).Draw(t, "injected") == 0 {
				n.Inflow[i] = math.Pow(10, rapid.Float64Range(-8, -3).Draw(t, "injection"))
			}
		}
		for i := range n.Links { // some circles lose nothing
			if rapid.IntRange(0, 3).Draw(t, "lossless") == 0 {
				n.Links[i].UA = 0
			}
		}
		f := mustSolve(t, n, nil)
		w := mustMix(t, n, f.Q, warm.VolumetricHeat())
		closesAtNodes(t, n, f, w)
		if missing, allowed := heatOfAll(n, f, w, warm.VolumetricHeat()); math.Abs(missing) > allowed {
			t.Fatalf("%g W are missing, more than %g; by its own account a share of %g", missing, allowed, w.Unbalance)
		}
		m := n.mixing(f.Q, warm.VolumetricHeat())
		if len(m.groups.ends) < n.Nodes {
			circles++
		}
	})
	if circles == 0 {
		t.Error("no network had a circle")
	}
}

// ring is a circle of some pipes, into whose first node a heater feeds, and from
// the second node (the first, if there is but one) as much goes back to it.
func ring(pipes int, UA, fed, round float64) (*Network, []float64) {
	last := int32(pipes)
	n := &Network{Nodes: pipes + 2, Root: last}
	var q []float64
	for i := range last {
		n.Links = append(n.Links, Link{From: i, To: (i + 1) % last, UA: UA, Ambient: quantity.Celsius(20)})
		q = append(q, round)
	}
	out := 1 % last
	if out == 1 {
		q[0] += fed
	}
	n.Links = append(n.Links,
		Link{From: last + 1, To: 0, Heated: quantity.Celsius(60)},
		Link{From: out, To: last, Ambient: quantity.Celsius(20)},
		Link{From: last, To: last + 1, Ambient: quantity.Celsius(20)})
	return n, append(q, fed, fed, fed)
}

// TestRingMeetsClosedForm: what is fed at Th and comes round with the share k of
// its excess gives T - Ta = (Th - Ta) fed/(fed + round (1 - k)).
func TestRingMeetsClosedForm(t *testing.T) {
	heat := warm.VolumetricHeat()
	for _, pipes := range []int{1, 2, 3, 50, 4000} {
		for _, fed := range []float64{0, 1e-11, 1e-7, 1e-4} {
			for _, UA := range []float64{0, 1e-9, 0.3, 10} {
				const round = 2e-4
				n, q := ring(pipes, UA, fed, round)
				w := mustMix(t, n, q, heat)
				N := 0.0
				for _, q := range q[:pipes] {
					N += UA / (q * heat)
				}
				want, lost := 20.0, round*-math.Expm1(-N)
				if fed+lost > 0 {
					want += 40 * fed / (fed + lost)
				}
				near(t, "after the feed", w.Node[0]-273.15, want, 1e-9)
			}
		}
	}
}

// TestInjectionAtTheRoot: water that is given there mixes in; what is too much
// leaves there. By hand: 3 parts of mains water of 10 degC and 1 of 50 degC.
func TestInjectionAtTheRoot(t *testing.T) {
	n := &Network{Nodes: 3, Mains: quantity.Celsius(10), Links: []Link{
		{From: 0, To: 1, Ambient: quantity.Celsius(20)}, {From: 1, To: 2, Heated: quantity.Celsius(50)}, {From: 2, To: 0, Ambient: quantity.Celsius(20)},
	}}
	for name, c := range map[string]struct {
		inflow, q []float64
		want      float64
	}{
		"nothing enters":        {[]float64{0, 0, 0}, []float64{1e-4, 1e-4, 1e-4}, 50},
		"in and out again":      {[]float64{3e-4, 0, 0}, []float64{1e-4, 1e-4, 1e-4}, 20},
		"in for a draw":         {[]float64{3e-4, 0, -3e-4}, []float64{4e-4, 4e-4, 1e-4}, 20},
		"more than is drawn":    {[]float64{3e-4, 0, -1e-4}, []float64{2e-4, 2e-4, 1e-4}, 20},
		"less than is drawn":    {[]float64{1e-4, 0, -3e-4}, []float64{4e-4, 4e-4, 1e-4}, 20},
		"drawn at the root":     {[]float64{-2e-4, 0, -1e-4}, []float64{2e-4, 2e-4, 1e-4}, 20},
		"in elsewhere":          {[]float64{0, 0, 1e-4}, []float64{1e-4, 1e-4, 2e-4}, 30},
		"in and out elsewhere":  {[]float64{0, 3e-4, -3e-4}, []float64{1e-4, 4e-4, 1e-4}, 50},
		"only the root's own":   {[]float64{0, 0, -3e-4}, []float64{4e-4, 4e-4, 1e-4}, 20},
		"more in than is drawn": {[]float64{0, 2e-4, -1e-4}, []float64{1e-4, 3e-4, 2e-4}, 50},
	} {
		n.Inflow = c.inflow
		w := mustMix(t, n, c.q, warm.VolumetricHeat())
		near(t, name+": root", w.Node[0]-273.15, c.want, 1e-9)
		near(t, name+": unbalance", w.Unbalance, 0, 1e-9)
		missing, _ := heatOfAll(n, &Flows{Q: c.q}, w, warm.VolumetricHeat())
		near(t, name+": heat missing, W", missing, 0, 1e-6)
		closesAtNodes(t, n, &Flows{Q: c.q}, w)
	}
}

// TestNoNumberIsAnError and never an answer.
func TestNoNumberIsAnError(t *testing.T) {
	n, q := ring(3, 1, 1e-5, 1e-4)
	for name, spoil := range map[string]func() (*Network, []float64){
		"flow":         func() (*Network, []float64) { q[1] = math.NaN(); return n, q },
		"endless flow": func() (*Network, []float64) { q[1] = math.Inf(1); return n, q },
		"UA":           func() (*Network, []float64) { n.Links[1].UA = math.NaN(); return n, q },
		"ambient":      func() (*Network, []float64) { n.Links[1].Ambient = quantity.Kelvin(math.NaN()); return n, q },
		"endless mains": func() (*Network, []float64) {
			n.Inflow, n.Mains = []float64{1}, quantity.Kelvin(math.Inf(1))
			return n, q
		},
	} {
		n, q = ring(3, 1, 1e-5, 1e-4)
		n, q = spoil()
		var bad *TemperatureError
		if w, err := n.Temperatures(q, warm.VolumetricHeat()); !errors.As(err, &bad) {
			t.Errorf("%s: %v, %v", name, w, err)
		}
	}
}
