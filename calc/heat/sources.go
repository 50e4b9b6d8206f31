package heat

import (
	"recirc/calc/air"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/calc/water"
)

// Sources lists the published formulas that the loss of a pipe rests on, in the
// order from water to surroundings.
func (p Pipe) Sources(flow quantity.Flow) []source.ID {
	var ids []source.ID
	if flow.CubicMetresPerSecond() > 0 {
		ids = append(ids, water.Source, InsideSource)
	}
	ids = append(ids, ConductionSource)
	switch p.Surroundings.Kind {
	case StillAir, MovingAir:
		ids = append(ids, p.naturalSources()...)
		if p.Surroundings.Kind == MovingAir {
			ids = append(ids, CrossflowSource)
		}
		ids = append(ids, RadiationSource, air.StateSource, air.TransportSource)
	case Buried, InSlab:
		ids = append(ids, GroundSource)
	}
	return ids
}

func (p Pipe) naturalSources() []source.ID {
	if p.Orientation == Vertical {
		return []source.ID{PlateSource, SlenderSource}
	}
	return []source.ID{HorizontalSource}
}
