package service

import (
	"recirc/calc/heat"
	"recirc/calc/quantity"
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
}

// metre is a metre of one kind of pipe.
type metre struct {
	standing heat.Loss
	loss     heat.Loss // flowing where there is a flow
	coolDown []heat.Cooled
}

// metreOf finds the metre of a pipe, once for all pipes alike.
func (q *heatLosses) metreOf(p heat.Pipe, flow quantity.Flow) (*metre, error) {
	key := alike{tube: p.Tube, surroundings: p.Surroundings, orientation: p.Orientation, height: p.Height, allowance: p.FittingsAllowance, flow: flow}
	copy(key.layers[:], p.Layers)
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
	q.metres[key] = &m
	q.a.use(p.Sources(flow)...)
	return &m, nil
}
