package service

import (
	"fmt"
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// note gathers warnings and cautions of a designed loop.
func (d *loopDesign) note() {
	c := d.c
	c.noteMethods()
	c.warnLayout(d.mixing)
	c.warnPipes(d.a.Pipes, d.sizing)
	d.warnValves()
	if d.activate {
		d.a.warn("activation_governs", systemPointer+"/heater/activation_flow", fmt.Sprintf("The flow that the heat loss asks for is below what makes the heater fire; all flows are raised to %.3g L/min. A buffer on the loop or an on-demand pump avoids this.", 6e4*d.c.activation(d.activationMargin())))
	}
	coldest := quantity.Kelvin(d.state.Return)
	for i := range d.a.Connections {
		coldest = quantity.Kelvin(math.Min(coldest.Kelvin(), d.a.Connections[i].ReturnEnd.Kelvin()))
	}
	c.cautions(coldest, fastestIn(d.a.Pipes))
}

// greatValveDrop is from where a balancing valve is noisy or clogs.
var greatValveDrop = quantity.PressureDimension.US.ToSI(20) // Pa, of 20 psi

func (d *loopDesign) warnValves() {
	for i, drop := range d.balance.Valve {
		if drop > greatValveDrop {
			d.a.use("circulation_article_series")
			d.a.warn("valve_drop_great", d.c.valvesPointer(d.valvePipe(i)), fmt.Sprintf("The balancing valve of %q takes %.3g kPa, more than 20 psi (138 kPa): its opening is small enough to clog or to be noisy. Think of zones.", d.c.connectionName(i), drop/1000))
			return
		}
	}
}

// compare sets short rules of the trade beside the computed flow and head.
func (d *loopDesign) compare() {
	loss := quantity.HeatFlowDimension.US.FromSI(d.a.Circulation.HeatLoss.Watts())
	drop := (d.c.outlet.Kelvin() - d.state.Return) * 9 / 5
	if drop > 0 {
		d.compareFlow("inch_pound_500", loss/(500*drop), fmt.Sprintf("gal/min = Btu/h/(500 dT), with the loss of supply and return and the drop to the heater, %.3g degF", drop))
	}
	n := len(d.c.loop.Connections)
	d.compareFlow("return_least_half_gpm", 0.5*float64(n), fmt.Sprintf("0.5 gal/min for each of %d return connections", n))
	if f := len(d.c.g.System.Fixtures); f > 0 {
		d.compareFlow("fixtures_20_per_gpm", float64(f)/20, fmt.Sprintf("1 gal/min for 20 fixtures, here %d", f))
	}
	if allowance, ok := d.riserAllowance(); ok {
		d.compareFlow("riser_small", allowance, "0.5 gal/min for a riser up to 1 in, 1 up to 1-1/2 in, 2 up to 2-1/2 in, 3 beyond, by the supply pipe at each connection")
	}
	d.compareHeads()
}

func (d *loopDesign) compareFlow(rule string, gpm float64, detail string) {
	d.addComparison(ShortRuleComparison{
		Rule: rule, Detail: detail + ".", Flow: quantity.CubicMetresPerSecond(quantity.FlowDimension.US.ToSI(gpm)), ComputedFlow: d.a.Duty.Flow,
	})
}

// addComparison cites the rule, which the table has.
func (d *loopDesign) addComparison(c ShortRuleComparison) {
	rule, _ := hydraulic.ShortRuleOf(c.Rule)
	c.Source = rule.Source
	d.a.Comparisons = append(d.a.Comparisons, c)
	d.a.use(c.Source)
}

// riserAllowance adds the flows allowed by riser size, gal/min; false if a size is
// not in inches.
func (d *loopDesign) riserAllowance() (gpm float64, ok bool) {
	for _, k := range d.c.part.Connections {
		inches, known := pipe.NominalInches(d.c.g.Tubes[k.Feeder].Nominal)
		switch {
		case !known:
			return 0, false
		case inches <= 1:
			gpm += 0.5
		case inches <= 1.5:
			gpm++
		case inches <= 2.5:
			gpm += 2
		default:
			gpm += 3
		}
	}
	return gpm, true
}

func (d *loopDesign) compareHeads() {
	way, supplies := d.c.way(d.balance.Critical)
	out := 0.0 // m
	for _, i := range way[:supplies] {
		out += d.c.g.System.Pipes[d.c.pipes[i]].Length.Metres()
	}
	add := func(rule, detail string, head quantity.Length) {
		d.addComparison(ShortRuleComparison{Rule: rule, Detail: detail, Head: head, ComputedHead: d.a.Duty.Head})
	}
	add("friction_4_ft", "4 ft of head for 100 ft of the longest way, here out to the critical connection. Heights are not added.", quantity.Metres(0.04*out))
	heater, _ := d.c.commonDrops(d.state.Total, d.mixing)
	psi := quantity.PressureGradientDimension.US.ToSI(3) // per 100 ft
	dp := 2*out*1.25*psi + heater
	add("friction_3_psi", "3 psi for 100 ft, on twice the way out to the critical connection and 25 % for fittings, and the heater. It is a pressure: 1 psi is 2.31 ft of cold water.", hydraulic.Head(quantity.Pascals(dp), coldDensity))
}

// show is the working: loss, flow and pressure along the critical circuit, then
// every connection.
func (d *loopDesign) show() {
	if !d.work.wanted {
		return
	}
	add := func(subject, symbol, name string, value float64, dimension *quantity.Dimension, equation string, from source.ID) {
		d.work.add(Step{subject, symbol, name, value, dimension, equation, from})
	}
	add("loop", "T_o", "temperature of the outlet", d.c.outlet.Kelvin(), quantity.TemperatureDimension, "given", "common_practice")
	way, _ := d.c.way(d.balance.Critical)
	for _, i := range way {
		p := d.c.pipes[i]
		subject := "pipe " + d.c.g.System.Pipes[p].ID
		loss := &d.told(i).Loss
		L := d.c.g.System.Pipes[p].Length.Metres()
		add(subject, "U'", "UA by length, at the mean temperature", d.c.loop.Pipes[i].UA/L, quantity.LinearTransmittanceDimension, "U' = q'/(T_w - T_a)", loop.EnergySource)
		add(subject, "q", "flow", d.state.Flow[i], quantity.FlowDimension, "q = sum of the connections served", loop.EnergySource)
		add(subject, "T_2", "temperature at its end", d.state.Out[i], quantity.TemperatureDimension, "T_2 = T_a + (T_1 - T_a) exp(-U' L/(q rho c))", loop.EnergySource)
		add(subject, "v", "velocity", loss.Velocity.MetresPerSecond(), quantity.VelocityDimension, "v = 4 q/(pi d^2)", hydraulic.DarcySource)
		add(subject, "dp_f", "friction of straight pipe", loss.Friction.Pascals(), quantity.PressureDimension, d.frictionEquation(), d.frictionSource())
		add(subject, "dp_z", "fittings", loss.Fittings.Pascals(), quantity.PressureDimension, "dp_z = K rho v^2/2, or friction of the equivalent length", hydraulic.DarcySource)
		add(subject, "dp_v", "valves", loss.Valves.Pascals(), quantity.PressureDimension, "dp_v = (q/Kv)^2 rho/1000", hydraulic.ValveSource)
	}
	heater, mixing := d.c.commonDrops(d.state.Total, d.mixing)
	add("loop", "dp_h", "heater", heater, quantity.PressureDimension, "dp_h = (q/Kv)^2 rho/1000", hydraulic.ValveSource)
	add("loop", "dp_m", "mixing valve", mixing, quantity.PressureDimension, "dp_m = (q/Kv)^2 rho/1000", hydraulic.ValveSource)
	add("loop", "Q", "heat loss of supply and return", d.a.Circulation.HeatLoss.Watts(), quantity.HeatFlowDimension, "Q = sum of q rho c (T_1 - T_2)", loop.EnergySource)
	add("loop", "q", "circulation flow", d.state.Total, quantity.FlowDimension, "q = Q/(rho c (T_o - T_r))", loop.EnergySource)
	add("loop", "H", "head of the pump", d.a.Duty.Head.Metres(), quantity.LengthDimension, "H = dp/(rho g), of the critical circuit", hydraulic.DarcySource)
	for i := range d.a.Connections {
		if len(d.work.steps) > maxRows {
			break
		}
		k := &d.a.Connections[i]
		subject := "connection " + k.Pipe
		add(subject, "q", "flow", k.Flow.CubicMetresPerSecond(), quantity.FlowDimension, "the least with which T >= T* at every connection", loop.EnergySource)
		add(subject, "dp_c", "circuit with its valve open", k.CircuitDrop.Pascals(), quantity.PressureDimension, "dp_c = sum along the circuit", hydraulic.DarcySource)
		add(subject, "dp_b", "balancing valve", k.Valve.Drop.Pascals(), quantity.PressureDimension, "dp_b = dp of the critical circuit - dp_c + dp open", hydraulic.ValveSource)
	}
	d.a.Working = d.work.steps
}

func (d *loopDesign) frictionEquation() string {
	if d.c.losses.Friction == hydraulic.HazenWilliams {
		return "Hazen and Williams: dp_f ~ L q^1.85/(C^1.85 d^4.87)"
	}
	return "dp_f = f L/d rho v^2/2, f by Colebrook, 64/Re up to Re 2000, a line between 2000 and 4000"
}

func (d *loopDesign) frictionSource() source.ID {
	if d.c.losses.Friction == hydraulic.HazenWilliams {
		return hydraulic.HazenWilliamsSource
	}
	return hydraulic.ColebrookSource
}
