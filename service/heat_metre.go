package service

import (
	"recirc/calc/heat"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// alike is all that the loss of a metre of pipe depends on. A building has
// thousands of pipes and a few dozen kinds of them.
type alike struct {
	tube         heat.Tube
	layers       [heat.MaxLayers]heat.Layer
	surroundings heat.Surroundings
	orientation  heat.Orientation
	height       quantity.Length
	allowance    float64
	flow         quantity.Flow
	nominal      string // picks rows of the insulation rules
}

// kindOf is what pipes without flow are alike in.
func kindOf(p *heat.Pipe) alike {
	kind := alike{tube: p.Tube, surroundings: p.Surroundings, orientation: p.Orientation, height: p.Height, allowance: p.FittingsAllowance}
	copy(kind.layers[:], p.Layers)
	return kind
}

// metre is a metre of one kind of pipe.
type metre struct {
	standing heat.Loss
	loss     heat.Loss // flowing where there is a flow
	coolDown []heat.Cooled
	minimum  []rule.InsulationVerdict
}

// metreOf finds the metre of a pipe, once for all pipes alike.
func (q *heatLosses) metreOf(p heat.Pipe, t *pipe.Tube, flow quantity.Flow) (*metre, error) {
	key := kindOf(&p)
	key.nominal, key.flow = t.Nominal, flow
	if m := q.metres[key]; m != nil {
		return m, nil
	}
	var m metre
	var err error
	if m.standing, err = p.Loss(q.water, quantity.Flow{}); err != nil {
		return nil, err
	}
	m.loss = m.standing
	if flow != (quantity.Flow{}) {
		if m.loss, err = p.Loss(q.water, flow); err != nil {
			return nil, err
		}
	}
	if m.coolDown, err = p.CoolDown(q.water, q.coolDown, heat.CoolDownOptions{}); err != nil {
		return nil, err
	}
	m.minimum = q.minimum(p, t)
	q.metres[key] = &m
	q.a.use(p.Sources(flow)...)
	return &m, nil
}

// minimum compares the insulation of a pipe with what documents ask for.
func (q *heatLosses) minimum(p heat.Pipe, t *pipe.Tube) []rule.InsulationVerdict {
	facts := insulatedPipe(t, p.Tube.Outside, p.Layers, q.water, p.Surroundings.Temperature)
	var verdicts []rule.InsulationVerdict
	for _, r := range rule.InsulationRules() {
		verdicts = append(verdicts, r.Judge(facts))
	}
	return verdicts
}

// insulatedPipe is what the rules for insulation need to know of a tube; each layer
// counts with its conductivity at the mean of water and surroundings.
func insulatedPipe(t *pipe.Tube, under quantity.Length, layers []heat.Layer, water, around quantity.Temperature) rule.InsulatedPipe {
	facts := rule.InsulatedPipe{Water: water, Bore: t.Bore, Outside: t.OutsideDiameter}
	facts.NominalInches, _ = pipe.NominalInches(t.Nominal)
	mean := quantity.Kelvin((water.Kelvin() + around.Kelvin()) / 2)
	var thickness []quantity.Length
	var k []quantity.Conductivity
	total := 0.0
	for _, l := range layers {
		thickness, k = append(thickness, l.Thickness), append(k, l.Conductivity.At(mean))
		total += l.Thickness.Metres()
	}
	facts.Thickness, facts.Conductivity = quantity.Metres(total), rule.EqualConductivity(under, thickness, k)
	return facts
}
