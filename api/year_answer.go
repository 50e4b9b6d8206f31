package api

import (
	"recirc/api/answer"
	"recirc/calc/quantity"
	"recirc/service"
)

// What a day under a control and a year of an arrangement write alike.

func writeWaitDistribution(w *answer.Writer, d *service.WaitDistribution) {
	w.OpenObject("waits")
	w.Number("draws", d.Draws)
	w.Number("not_served", d.NotServed)
	writeDurationIf(w, "median", d.Median)
	writeDurationIf(w, "percentile_90", d.Tenth)
	writeDurationIf(w, "longest", d.Longest)
	w.OpenList("served_within")
	for _, s := range d.Within {
		w.OpenObject("")
		w.Duration("wait", s.Wait)
		w.Number("share", s.Share)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}

func writeDurationIf(w *answer.Writer, name string, t *quantity.Duration) {
	if t != nil {
		w.Duration(name, *t)
	}
}

func writeWaterBalance(w *answer.Writer, b *service.WaterBalance) {
	w.OpenObject("water")
	w.Volume("hot_drawn", b.HotDrawn)
	w.Volume("run_to_waste", b.RunToWaste)
	if l := b.Lukewarm; l != nil {
		w.OpenObject("lukewarm_cold")
		w.Volume("volume", l.Volume)
		w.TemperatureIf("mean_temperature", l.Mean)
		w.TemperatureIf("highest_temperature", l.Highest)
		w.CloseObject()
	}
	w.CloseObject()
}

func writeHeatBalance(w *answer.Writer, h *service.HeatBalance) {
	w.OpenObject("heat")
	w.Energy("heater", h.Heater)
	w.Energy("pump", h.Pump)
	w.Energy("trace", h.Trace)
	w.Energy("local_heater", h.Local)
	w.Energy("drawn", h.Drawn)
	w.Energy("run_to_waste", h.RunToWaste)
	w.Energy("lost_by_supply", h.LostSupply)
	w.Energy("lost_by_return", h.LostReturn)
	w.Energy("lost_by_cold_line", h.LostColdLine)
	w.Energy("lost_by_local_heater", h.LostLocal)
	w.Energy("stored", h.Stored)
	w.CloseObject()
}

func writeControlFindings(w *answer.Writer, findings []service.ControlFinding) {
	w.OpenList("findings")
	for _, f := range findings {
		w.OpenObject("")
		w.Text("code", string(f.Code))
		w.Text("pointer", f.Pointer)
		w.Text("detail", f.Detail)
		w.CloseObject()
	}
	w.CloseList()
}
