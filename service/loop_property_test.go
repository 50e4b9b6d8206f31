package service_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/hydraulic"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/water"
	"recirc/service"
)

var supplyTubes = []network.TubeSpec{copper("18x1"), copper("22x1"), copper("28x1.5"), {Series: typeL, Nominal: "1"}, {Bore: quantity.Millimetres(20), Outside: quantity.Millimetres(25), Material: "pex"}}

// drawLoop draws a loop: a supply tree whose ends all return, and some nodes between;
// returns join on their way home in any order.
func drawLoop(t *rapid.T) network.System {
	s := house()
	s.Heater.Kv = *kv(rapid.Float64Range(1, 10).Draw(t, "heater kv"))
	n := rapid.IntRange(1, 9).Draw(t, "supplies")
	leaf := make([]bool, n+1)
	for i := range n {
		from := rapid.IntRange(0, i).Draw(t, "from")
		leaf[from], leaf[i+1] = false, true
		p := supply(name("s", i+1), node(from), node(i+1), rapid.Float64Range(0.5, 15).Draw(t, "m"), rapid.SampledFrom(supplyTubes).Draw(t, "tube"))
		s.Pipes = append(s.Pipes, drawCover(t, p))
	}
	s.Heater.Node = node(0)
	var lows []string // where returns may join
	for at := n; at > 0; at-- {
		if !leaf[at] && rapid.IntRange(0, 3).Draw(t, "mid-tree") > 0 {
			continue
		}
		p := back(name("r", at), node(at), node(0), rapid.Float64Range(0.5, 15).Draw(t, "m back"), openCopper())
		if len(lows) > 0 && rapid.Bool().Draw(t, "joins") {
			p.To = rapid.SampledFrom(lows).Draw(t, "at")
		} else if rapid.Bool().Draw(t, "may be joined") {
			p.To = name("low", at)
			on := back(name("c", at), p.To, node(0), rapid.Float64Range(0.5, 15).Draw(t, "m on"), openCopper(), check())
			if len(lows) > 0 && rapid.Bool().Draw(t, "runs on") {
				on.To = rapid.SampledFrom(lows).Draw(t, "to")
			}
			s.Pipes = append(s.Pipes, drawCover(t, on))
			lows = append(lows, p.To)
		}
		switch rapid.IntRange(0, 3).Draw(t, "valve") {
		case 0:
			p.Valves = []network.Valve{balancing(rapid.Float64Range(0.5, 4).Draw(t, "kv"))}
		case 1:
			p.Valves = []network.Valve{{Type: "balancing"}, check()}
		case 2:
			p.Fittings = []network.Fitting{{Type: "elbow_90", Count: 3}}
		}
		s.Pipes = append(s.Pipes, drawCover(t, p))
	}
	return s
}

func drawCover(t *rapid.T, p network.Pipe) network.Pipe {
	switch rapid.IntRange(0, 4).Draw(t, "cover") {
	case 0:
		p.Insulation = foam(rapid.Float64Range(5, 40).Draw(t, "mm"))
	case 1:
		p.Surroundings = &network.Surroundings{Type: "still_air", Temperature: quantity.Celsius(rapid.Float64Range(0, 35).Draw(t, "degC"))}
	case 2:
		p.Vertical = true
	}
	return p
}

func drawTarget(t *rapid.T) service.LoopTarget {
	at := rapid.SampledFrom([]service.TargetPlace{service.AtConnections, service.AtReturnEnds, service.AtHeater}).Draw(t, "at")
	return service.LoopTarget{At: at, Drop: quantity.KelvinDifference(rapid.Float64Range(1, 12).Draw(t, "K"))}
}

// TestDesignKeepsItsTargets: heat closes, every connection keeps its target and its
// least flow, and what is said to govern does.
func TestDesignKeepsItsTargets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		req := service.LoopDesignRequest{System: drawLoop(t), Target: drawTarget(t)}
		least := rapid.SampledFrom([]float64{0, 0.3, 1, 3}).Draw(t, "least")
		req.LeastFlow = litresPerMinute(least)
		a := design(t, req)
		closes(t, a)
		goal := req.System.Heater.OutletTemperature.Kelvin() - req.Target.Drop.Kelvin()
		if req.Target.At == service.AtHeater && a.Circulation.Return.Kelvin() < goal-1e-6 {
			t.Fatalf("the return has %v, less than %v K", a.Circulation.Return, goal)
		}
		total := 0.0
		kept := math.Abs(a.Circulation.Return.Kelvin()-goal) < 1e-6
		for _, c := range a.Connections {
			q := c.Flow.CubicMetresPerSecond()
			total += q
			T := c.Temperature.Kelvin()
			if req.Target.At == service.AtReturnEnds {
				T = c.ReturnEnd.Kelvin()
			}
			floor := max(least, 0.1) / 6e4
			if q < floor*(1-1e-9) || req.Target.At != service.AtHeater && T < goal-1e-8 {
				t.Fatalf("%s carries %v at %v K: least %v, goal %v", c.Pipe, q, T, floor, goal)
			}
			switch c.GovernedBy {
			case service.FloorHeatLoss:
				// At the heater: the joined return just keeps it, or, where least flows of
				// others make that warmer, the connection itself does.
				if !(req.Target.At == service.AtHeater && kept) && math.Abs(T-goal) > 1e-8 {
					t.Fatalf("%s: the heat loss governs, but %v is not %v", c.Pipe, T, goal)
				}
			case service.FloorGiven, service.FloorDefault:
				if !near(q, floor, 1e-9) || (c.GovernedBy == service.FloorDefault) != (least == 0) {
					t.Fatalf("%s: %s governs, but it carries %v", c.Pipe, c.GovernedBy, q)
				}
			default:
				t.Fatalf("%s is governed by %s", c.Pipe, c.GovernedBy)
			}
		}
		if !near(total, a.Circulation.Flow.CubicMetresPerSecond(), 1e-12) {
			t.Fatalf("connections carry %v of %v", total, a.Circulation.Flow)
		}
	})
}

// closes: heat lost by supply and return is what the flow brings and does not take
// back; no number is none.
func closes(t rapid.TB, a *service.LoopDesignAnswer) {
	t.Helper()
	c := a.Circulation
	w, err := water.At(c.Water)
	if err != nil {
		t.Fatal(err)
	}
	carried := c.Flow.CubicMetresPerSecond() * w.VolumetricHeat() * (c.Outlet.Kelvin() - c.Return.Kelvin())
	if !near(c.HeatLoss.Watts(), carried, 1e-9) || !same(c.SupplyLoss.Watts()+c.BackLoss.Watts(), c.HeatLoss.Watts()) {
		t.Fatalf("%v W of supply and %v W of return are lost, %v W are carried", c.SupplyLoss.Watts(), c.BackLoss.Watts(), carried)
	}
	for _, p := range a.Pipes {
		for _, x := range []float64{p.Flow.CubicMetresPerSecond(), p.Inlet.Kelvin(), p.Outlet.Kelvin(), p.HeatLoss.Watts(), p.Drop.Pascals(), p.Gradient.PascalsPerMetre()} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v", p)
			}
		}
	}
}

// TestAFloorGovernsTruthfully: without the floor that is said to govern a flow, the
// flow is less.
func TestAFloorGovernsTruthfully(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		req := service.LoopDesignRequest{System: drawLoop(t), Target: drawTarget(t)}
		base := design(t, req)
		pick := rapid.IntRange(0, len(base.Connections)-1).Draw(t, "which")
		times := rapid.Float64Range(0.5, 3).Filter(func(x float64) bool { return math.Abs(x-1) > 1e-6 }).Draw(t, "times")
		flow := base.Connections[pick].Flow.CubicMetresPerSecond() * times
		req.Connections = []service.ConnectionLimit{{Pipe: base.Connections[pick].Pipe, LeastFlow: quantity.CubicMetresPerSecond(flow)}}
		a := design(t, req).Connections[pick]
		governs := a.GovernedBy == service.FloorGiven
		more := a.Flow.CubicMetresPerSecond() > base.Connections[pick].Flow.CubicMetresPerSecond()*(1+1e-9)
		if base.Connections[pick].GovernedBy == service.FloorHeatLoss && governs != more {
			t.Fatalf("%v by %s became %v by %s", base.Connections[pick].Flow, base.Connections[pick].GovernedBy, a.Flow, a.GovernedBy)
		}
		if governs && !near(a.Flow.CubicMetresPerSecond(), flow, 1e-9) {
			t.Fatalf("%v is given and governs, %v flows", flow, a.Flow)
		}
	})
}

// TestCircuitsAddUpToTheDuty: along every circuit, pipes with their valves, the
// heater and the mixing valve take the pressure of the pump, and the parts of the
// critical one do.
func TestCircuitsAddUpToTheDuty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawLoop(t)
		if rapid.Bool().Draw(t, "mixed") {
			s.Heater.OutletTemperature = quantity.Celsius(65)
			s.MixingValve = &network.MixingValve{OutletTemperature: quantity.Celsius(60), Kv: *kv(3), ReturnTo: "both"}
		}
		a := design(t, service.LoopDesignRequest{System: s, Target: drop(4)})
		parts, common := 0.0, 0.0
		for _, p := range a.Critical.Parts {
			parts += p.Drop.Pascals()
			if p.Part == "heater" || p.Part == "mixing_valve" {
				common += p.Drop.Pascals()
			}
		}
		duty := a.Duty.Pressure.Pascals()
		if !near(parts, duty, 1e-9) || a.Critical.Drop != a.Duty.Pressure {
			t.Fatalf("the parts of the critical circuit add up to %v of %v", parts, duty)
		}
		into, out, drops := map[string]string{}, map[string]string{}, map[string]float64{}
		for i, p := range s.Pipes {
			if p.Role == network.Supply {
				into[p.To] = p.ID
			} else {
				out[p.From] = p.ID
			}
			drops[p.ID] = a.Pipes[i].Drop.Pascals()
		}
		ends := map[string]network.Pipe{}
		for _, p := range s.Pipes {
			ends[p.ID] = p
		}
		for _, c := range a.Connections {
			sum := common
			for id := into[c.Node]; id != ""; id = into[ends[id].From] {
				sum += drops[id]
			}
			for id := c.Pipe; id != ""; id = out[ends[id].To] {
				sum += drops[id]
			}
			if !near(sum, duty, 1e-9) {
				t.Fatalf("the circuit of %s takes %v Pa of %v", c.Pipe, sum, duty)
			}
			if c.Critical != (c.Pipe == a.Critical.Connection) || c.CircuitDrop.Pascals() > duty*(1+1e-12) || c.Critical && c.Valve.Setting != service.ValveOpen {
				t.Fatalf("%+v", c)
			}
		}
	})
}

// TestNamesAndOrderOfLoops: renamed, shuffled and with a pipe cut in two, a loop has
// the same numbers; so it has when the caller wrote gallons.
func TestNamesAndOrderOfLoops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, target := drawLoop(t), drawTarget(t)
		for i := range s.Pipes {
			s.Pipes[i].Vertical = false // the film of a short vertical run is another
		}
		other := s
		other.Pipes = rapid.Permutation(s.Pipes).Draw(t, "order")
		at := rapid.IntRange(0, len(other.Pipes)-1).Draw(t, "which")
		cut := rapid.Bool().Draw(t, "cut") && len(other.Pipes[at].Fittings)+len(other.Pipes[at].Valves) == 0 && other.Pipes[at].Role == network.Supply
		if cut {
			other = split(other, at, rapid.Float64Range(0.1, 0.9).Draw(t, "share"))
		}
		other.Pipes = slices.Clone(other.Pipes)
		old := map[string]string{}
		for i := range other.Pipes {
			p := &other.Pipes[i]
			id := fmt.Sprint("pipe ", i)
			old[id] = p.ID
			p.ID, p.From, p.To = id, "at "+p.From, "at "+p.To
		}
		other.Heater.Node = "at " + s.Heater.Node
		a := design(t, service.LoopDesignRequest{System: s, Target: target})
		b := design(t, service.LoopDesignRequest{System: other, Target: target, USGallon: true})
		relative := 1e-8
		if cut {
			relative = 1e-3 // a loss is taken at the mean temperature of a run, now at two
		}
		if !near(a.Circulation.Flow.CubicMetresPerSecond(), b.Circulation.Flow.CubicMetresPerSecond(), relative) || !near(a.Duty.Head.Metres(), b.Duty.Head.Metres(), relative) ||
			!near(a.Circulation.SupplyLoss.Watts(), b.Circulation.SupplyLoss.Watts(), relative) || len(a.Warnings) != len(b.Warnings) {
			t.Fatalf("%+v became %+v", a.Circulation, b.Circulation)
		}
		as := map[string]service.DesignedConnection{}
		for _, c := range a.Connections {
			as[c.Pipe] = c
		}
		for _, c := range b.Connections {
			d := as[old[c.Pipe]]
			if !near(c.Flow.CubicMetresPerSecond(), d.Flow.CubicMetresPerSecond(), relative) || math.Abs(c.ReturnEnd.Kelvin()-d.ReturnEnd.Kelvin()) > 100*relative ||
				!same(c.Length.Metres(), d.Length.Metres()) || c.GovernedBy != d.GovernedBy {
				t.Fatalf("%+v became %+v", d, c)
			}
		}
		ap := map[string]service.LoopPipe{}
		for _, p := range a.Pipes {
			ap[p.Pipe] = p
		}
		for _, p := range b.Pipes {
			if was := ap[old[p.Pipe]]; old[p.Pipe] != "far half" && (was.Bore != p.Bore || was.Chosen != p.Chosen) {
				t.Fatalf("%s of %v became %s of %v", was.Pipe, was.Bore, p.Pipe, p.Bore)
			}
		}
	})
}

// TestChosenTubes: every tube that was chosen keeps velocity, friction and bore, and
// the next narrower one does not; what was given stays; a looser limit never makes a
// tube wider. Within 1 % of a limit two sizes may take turns: a wider tube loses more
// heat, so the water is another, and the wider one stays.
func TestChosenTubes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawLoop(t)
		if i := rapid.IntRange(0, len(s.Pipes)-1).Draw(t, "given"); s.Pipes[i].Role == network.Return {
			s.Pipes[i].Tube = copper("12x1")
		}
		req := service.LoopDesignRequest{System: s, Target: drawTarget(t), LeastFlow: litresPerMinute(rapid.Float64Range(0.5, 3).Draw(t, "least"))}
		req.Sizing.GreatestVelocity = quantity.MetresPerSecond(rapid.Float64Range(0.3, 1).Draw(t, "m/s"))
		req.Sizing.GreatestFriction = quantity.PascalsPerMetre(rapid.Float64Range(50, 400).Draw(t, "Pa/m"))
		req.Sizing.LeastBore = quantity.Millimetres(rapid.Float64Range(5, 14).Draw(t, "mm"))
		a := design(t, req)
		w, _ := water.At(a.Circulation.Water)
		for i, p := range a.Pipes {
			spec := s.Pipes[i].Tube
			if open := spec == openCopper(); open != p.Chosen || !open && spec.Nominal != "" && (p.Series != spec.Series || p.Nominal != spec.Nominal) {
				t.Fatalf("%+v became %s %s", spec, p.Series, p.Nominal)
			}
			if !p.Chosen {
				continue
			}
			if !p.Within || !keeps(req.Sizing, s.Pipes[i], p.Bore, p.Flow, w) {
				t.Fatalf("%s %s does not keep the limits: %+v", p.Pipe, p.Nominal, p)
			}
			tight := req.Sizing
			tight.GreatestVelocity = quantity.MetresPerSecond(0.99 * tight.GreatestVelocity.MetresPerSecond())
			tight.GreatestFriction = quantity.PascalsPerMetre(0.99 * tight.GreatestFriction.PascalsPerMetre())
			for _, tube := range pipe.Tubes(p.Series) {
				if tube.Bore.Metres() < p.Bore.Metres() && keeps(tight, s.Pipes[i], tube.Bore, p.Flow, w) {
					t.Fatalf("%s: %s was chosen, %s keeps all limits", p.Pipe, p.Nominal, tube.Nominal)
				}
			}
		}
		loose := req
		loose.Sizing.GreatestVelocity = quantity.MetresPerSecond(2 * req.Sizing.GreatestVelocity.MetresPerSecond())
		loose.Sizing.GreatestFriction = quantity.PascalsPerMetre(2 * req.Sizing.GreatestFriction.PascalsPerMetre())
		for i, p := range design(t, loose).Pipes {
			if p.Bore.Metres() > a.Pipes[i].Bore.Metres() {
				t.Fatalf("%s grew from %v to %v by looser limits", p.Pipe, a.Pipes[i].Bore, p.Bore)
			}
		}
	})
}

// keeps judges a tube anew, by the equations of calc/hydraulic.
func keeps(limit service.ReturnSizing, p network.Pipe, bore quantity.Length, q quantity.Flow, w water.Properties) bool {
	roughness, _ := hydraulic.RoughnessOf("copper")
	line := hydraulic.Pipe{Length: p.Length, Bore: bore, Roughness: roughness.Value}
	loss, err := line.Loss(q, hydraulic.Fluid{Density: w.Density, Viscosity: w.Viscosity})
	return err == nil && loss.Velocity.MetresPerSecond() <= limit.GreatestVelocity.MetresPerSecond()*(1+1e-9) &&
		loss.Friction.Pascals() <= limit.GreatestFriction.PascalsPerMetre()*p.Length.Metres()*(1+1e-9) && bore.Metres() >= limit.LeastBore.Metres()*(1-1e-9)
}

// TestRandomDesignsAreFoundAgain: what holds for the systems of TestDesignIsWhat...
// holds for any.
func TestRandomDesignsAreFoundAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, target := drawLoop(t), drawTarget(t)
		d := design(t, service.LoopDesignRequest{System: s, Target: target})
		p := rapid.SampledFrom([]service.LoopPump{held(d.Duty.Head), through(d.Duty)}).Draw(t, "pump")
		compareWithDesign(t, d, simulate(t, service.LoopSimulationRequest{System: built(s, d), Pump: p, Target: target}))
	})
}

// TestShutValveStarvesOnlyItsBranch: with one valve closed, that branch stands and is
// said to, and at a held head no other one gets less, but for the thickness of water
// that comes back colder. In parallel branches, that is: returns that cross make a
// bridge, in which a branch may lose.
func TestShutValveStarvesOnlyItsBranch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := comb(rapid.IntRange(2, 6).Draw(t, "branches"), false)
		for i := range s.Pipes {
			s.Pipes[i].Length = quantity.Metres(rapid.Float64Range(1, 15).Draw(t, "m"))
		}
		target := drop(4)
		d := design(t, service.LoopDesignRequest{System: s, Target: target})
		stands := built(s, d)
		pick := rapid.IntRange(0, len(d.Connections)-1).Draw(t, "which")
		for i := range stands.Pipes {
			if stands.Pipes[i].ID == d.Connections[pick].Pipe {
				stands.Pipes[i].Valves = []network.Valve{{Type: "balancing", Kv: kv(0)}}
			}
		}
		a := simulate(t, service.LoopSimulationRequest{System: stands, Pump: held(d.Duty.Head), Target: target})
		thin, _ := water.At(d.Circulation.Water)
		thick, _ := water.At(a.Circulation.Water)
		fewer := min(1, thin.Viscosity/thick.Viscosity)
		for i, c := range a.Connections {
			designed := d.Connections[i].Flow.CubicMetresPerSecond()
			switch q := c.Flow.CubicMetresPerSecond(); {
			case i == pick && (c.State != service.StandsIdle || math.Abs(q) > 1e-9):
				t.Fatalf("%s is shut, and %s with %v", c.Pipe, c.State, q)
			case i != pick && q < designed*fewer*(1-1e-6):
				t.Fatalf("%s got %v, designed %v", c.Pipe, q, designed)
			}
		}
		if !warns(a.Notes, "standing_branch") {
			t.Fatalf("%v", a.Warnings)
		}
	})
}

// TestMeasuredReturnsGiveTheFlows: return temperatures of a simulation, given as
// measured ones, are explained by its flows, and the advice follows from them.
func TestMeasuredReturnsGiveTheFlows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawLoop(t)
		target := drop(4)
		d := design(t, service.LoopDesignRequest{System: s, Target: target})
		stands := built(s, d)
		for i := range stands.Pipes {
			for k := range stands.Pipes[i].Valves {
				if v := &stands.Pipes[i].Valves[k]; v.Type == "balancing" && v.Kv != nil {
					v.Kv = kv(rapid.Float64Range(0.3, 3).Draw(t, "times") * v.Kv.SI() / kv(1).SI())
				}
			}
		}
		req := service.LoopSimulationRequest{System: stands, Pump: held(d.Duty.Head), Target: target}
		a := simulate(t, req)
		for _, c := range a.Connections {
			if c.State == service.Backwards || c.Flow.CubicMetresPerSecond() < 1e-7 || c.ReturnEnd.Kelvin() > d.Circulation.Outlet.Kelvin()-0.1 {
				t.Skip("a temperature that another branch has made, or that says nothing")
			}
			req.Measured = append(req.Measured, service.MeasuredReturn{Pipe: c.Pipe, Temperature: c.ReturnEnd})
		}
		fit := simulate(t, req).Fit
		if slices.ContainsFunc(fit, func(f service.FittedConnection) bool { return f.Change == "measure_again" }) {
			t.Skip("colder than surroundings on its way")
		}
		for i, f := range fit {
			c := a.Connections[i]
			if !near(f.Flow.CubicMetresPerSecond(), c.Flow.CubicMetresPerSecond(), 1e-4) || f.Needed != c.Needed {
				t.Fatalf("%s: %v explains %v, %v flows", f.Pipe, f.Flow, f.Measured, c.Flow)
			}
			share := f.Flow.CubicMetresPerSecond() / f.Needed.CubicMetresPerSecond()
			want := map[bool]string{true: "open", false: "leave"}[share < 0.9]
			if share > 1.1 {
				want = "close"
			}
			if want == "open" && f.WantedKv.SI() > 0 && f.WantedKv.SI() <= f.Kv.SI() {
				want = "leave" // it has what it needs once the others are closed
			}
			if f.Change != want || c.State == service.Cold && f.Change == "close" && share < 1 {
				t.Fatalf("%s has %.3f of what it needs and is %s: %s", f.Pipe, share, c.State, f.Change)
			}
		}
	})
}
