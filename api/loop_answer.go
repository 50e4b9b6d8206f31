package api

import (
	"recirc/api/answer"
	"recirc/calc/quantity"
	"recirc/service"
)

// What a designed loop and a simulated one write alike.

func writeCirculation(w *answer.Writer, c *service.Circulation) {
	w.OpenObject("circulation")
	w.Flow("flow", c.Flow)
	w.Temperature("outlet_temperature", c.Outlet)
	w.Temperature("return_temperature", c.Return)
	w.HeatFlow("heat_loss", c.HeatLoss)
	w.HeatFlow("supply_heat_loss", c.SupplyLoss)
	w.HeatFlow("return_heat_loss", c.BackLoss)
	w.Temperature("water_temperature", c.Water)
	w.CloseObject()
}

// writePumpDuty writes the members of a duty; its head in both units, as data
// sheets of pumps give one or the other.
func writePumpDuty(w *answer.Writer, d *service.PumpDuty) {
	w.Flow("flow", d.Flow)
	w.OpenList("heads")
	w.AmountIn("", &quantity.LengthDimension.SI, d.Head.Metres())
	w.AmountIn("", &quantity.LengthDimension.US, d.Head.Metres())
	w.CloseList()
	w.Pressure("pressure", d.Pressure)
	w.Amount("hydraulic_power", quantity.PowerDimension, d.Hydraulic.Watts())
}

func writeConnectionTemperatures(w *answer.Writer, target, connection, returnEnd quantity.Temperature) {
	w.TemperatureIf("target_temperature", target)
	w.Temperature("temperature", connection)
	w.Temperature("return_end_temperature", returnEnd)
}

// writeBalancingValve writes a valve; Kv and Cv are one figure in two units,
// whatever the units of the answer.
func writeBalancingValve(w *answer.Writer, v *service.BalancingValve) {
	w.OpenObject("valve")
	w.TextIf("pipe", v.Pipe)
	w.Text("setting", string(v.Setting))
	if v.Kv != (quantity.FlowCoefficient{}) || v.Setting == service.ValveClosed {
		w.AmountIn("kv", &quantity.FlowCoefficientDimension.SI, v.Kv.SI())
		w.AmountIn("cv", &quantity.FlowCoefficientDimension.US, v.Kv.SI())
	}
	w.Pressure("pressure_drop", v.Drop)
	w.TemperatureIf("temperature", v.Temperature)
	w.CloseObject()
}

func writeLoopPipes(w *answer.Writer, pipes []service.LoopPipe) {
	w.OpenList("pipes")
	for i := range pipes {
		writeLoopPipe(w, &pipes[i])
	}
	w.CloseList()
}

func writeLoopPipe(w *answer.Writer, p *service.LoopPipe) {
	w.OpenObject("")
	w.Text("pipe", p.Pipe)
	w.Text("role", string(p.Role))
	w.OpenObject("tube")
	w.TextIf("series", p.Series)
	w.TextIf("nominal", p.Nominal)
	w.Diameter("inside_diameter", p.Bore)
	w.Bool("chosen", p.Chosen)
	w.CloseObject()
	w.Flow("flow", p.Flow)
	w.Velocity("velocity", p.Loss.Velocity)
	w.Number("reynolds", p.Loss.Reynolds)
	w.Text("regime", string(p.Loss.Regime))
	w.NumberIf("friction_factor", p.Loss.Factor)
	w.Temperature("inlet_temperature", p.Inlet)
	w.Temperature("outlet_temperature", p.Outlet)
	w.HeatFlow("heat_loss", p.HeatLoss)
	w.Amount("friction", quantity.PressureGradientDimension, p.Gradient.PascalsPerMetre())
	w.Pressure("pressure_drop", p.Drop)
	if p.Limit != (quantity.Velocity{}) {
		w.Velocity("velocity_limit", p.Limit)
	}
	if p.Judged {
		w.Bool("within_limits", p.Within)
	}
	w.CloseObject()
}

func writeLoopNodes(w *answer.Writer, nodes []service.LoopNode) {
	w.OpenList("nodes")
	for i := range nodes {
		n := &nodes[i]
		w.OpenObject("")
		w.Text("node", n.Node)
		w.Temperature("temperature", n.Temperature)
		w.TemperatureIf("return_temperature", n.Back)
		if n.PressureKnown {
			w.Pressure("pressure", n.Pressure)
		}
		w.CloseObject()
	}
	w.CloseList()
}

func writeMixingState(w *answer.Writer, m *service.MixingState) {
	if m == nil {
		return
	}
	w.OpenObject("mixing_valve")
	w.Text("state", m.State)
	w.Temperature("store_temperature", m.Store)
	w.Temperature("set_temperature", m.Set)
	w.Temperature("return_temperature", m.Return)
	w.Temperature("outlet_temperature", m.Outlet)
	if m.ShareKnown {
		w.Number("heater_share", m.HeaterShare)
		w.Flow("heater_flow", m.HeaterFlow)
		w.Flow("cold_port_flow", m.ColdPortFlow)
	}
	w.Temperature("equal_split_temperature", m.AtHalf)
	w.Text("detail", m.Detail)
	w.CloseObject()
}
