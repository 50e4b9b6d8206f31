package service

import (
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

const geometry source.ID = "geometry"

// pathRows is how many pipes the dead legs of all fixtures have together, a
// shared pipe counted once for each fixture behind it.
func pathRows(g *network.Graph, legs []network.DeadLeg) int {
	rows := 0
	for i := range g.System.Fixtures {
		rows += int(legs[g.FixtureNode(i)].Pipes)
	}
	return rows
}

// fits refuses working that would be too long, before it is made: so many steps
// for each pipe of a way and for each fixture.
func (w *working) fits(g *network.Graph, legs []network.DeadLeg, aPipe, aFixture int, faults *fault.List) {
	if steps := aPipe*pathRows(g, legs) + aFixture*len(g.System.Fixtures); w.wanted && steps > maxRows {
		faults.Add("/show_working", fault.AnswerTooLarge, "The working would hold about %d steps; at most %d are given. Send parts of the building.", steps, maxRows)
	}
}

// showDeadLeg shows how length and volume of a dead leg came about, pipe by pipe.
func (w *working) showDeadLeg(g *network.Graph, id string, path []int32, leg network.DeadLeg) {
	if !w.wanted {
		return
	}
	for _, p := range path {
		run, tube := &g.System.Pipes[p], &g.Tubes[p]
		subject := "pipe " + run.ID
		w.add(Step{subject, "d", "inside diameter, " + string(tube.BoreBasis), tube.Bore.Metres(), quantity.DiameterDimension, boreEquation(tube), tubeSource(tube)})
		w.add(Step{subject, "L", "developed length", run.Length.Metres(), quantity.LengthDimension, "given", "common_practice"})
		w.add(Step{subject, "V", "stored volume", g.StoredVolume(p).CubicMetres(), quantity.VolumeDimension, "V = pi/4 d^2 L", geometry})
	}
	subject := "fixture " + id
	w.add(Step{subject, "L_d", "developed length of the dead leg", leg.Length.Metres(), quantity.LengthDimension, "L_d = sum L", geometry})
	w.add(Step{subject, "V_d", "stored volume of the dead leg", leg.Volume.CubicMetres(), quantity.VolumeDimension, "V_d = sum V", geometry})
}

func boreEquation(t *pipe.Tube) string {
	if t.BoreBasis == pipe.Given {
		return "given"
	}
	return "d = D - 2 s"
}

func tubeSource(t *pipe.Tube) source.ID {
	if t.Source == "" {
		return "common_practice"
	}
	return t.Source
}
