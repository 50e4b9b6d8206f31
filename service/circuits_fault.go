package service

import (
	"errors"

	"recirc/calc/fault"
	"recirc/calc/loop"
)

// refuseShut names the first circulated pipe on which a valve is closed: a design
// cannot send water through it.
func (c *circuits) refuseShut(faults *fault.List) {
	for _, p := range c.pipes {
		for i := range c.g.System.Pipes[p].Valves {
			if v := &c.g.System.Pipes[p].Valves[i]; v.Kv != nil && v.Kv.SI() == 0 {
				faults.Add(listPointer(pipePointer(p, "/valves"), i, "/kv"), fault.NetworkUnsolvable, "A valve on pipe %q is closed (kv 0), and the loop is to circulate through it; give the kv of the open valve.", c.g.System.Pipes[p].ID)
				return
			}
		}
	}
}

// fault turns what the physics refuses into a fault of the request.
func (c *circuits) fault(err error, t *loopTarget, faults *fault.List) {
	var reach *loop.ReachError
	var pipe *pipeError
	var size *noSizeError
	switch {
	case errors.As(err, &size):
		faults.Add(pipePointer(size.pipe, "/tube"), fault.NoSizeFits, "For this return, %s; choose another series or rule, or lower the flow.", size.Error())
	case errors.As(err, &pipe):
		physicsFault(faults, pipe.pipe, pipe.err)
	case errors.As(err, &reach) && t.at == AtHeater && t.heater.Kelvin() < c.outlet.Kelvin():
		faults.Add(t.pointers[reach.Connection], fault.TargetOutOfReach, "No flow keeps the return at the heater at %s: that is too near the %s that leave the heater, or the supply stands in surroundings as warm.",
			shownTemperature(t.heater), shownTemperature(c.outlet))
	case errors.As(err, &reach) && reach.Pipe == loop.None:
		faults.Add(t.pointers[reach.Connection], fault.TargetOutOfReach, "The target of %s at the return %q is not below the %s that leave the heater; no flow keeps it.",
			shownTemperature(t.goals[reach.Connection].Temperature), c.connectionName(reach.Connection), shownTemperature(c.outlet))
	case errors.As(err, &reach):
		faults.Add(t.pointers[reach.Connection], fault.TargetOutOfReach, "The target of %s at the return %q is not above the surroundings of pipe %q; the water would not have to flow.",
			shownTemperature(t.goals[reach.Connection].Temperature), c.connectionName(reach.Connection), c.g.System.Pipes[c.pipes[reach.Pipe]].ID)
	default:
		faults.Add(systemPointer, fault.NetworkUnsolvable, "No flows were found for this loop: %s.", reasonOf(err))
	}
}

func (c *circuits) connectionName(i int) string {
	return c.g.System.Pipes[c.part.Connections[i].Return].ID
}

// connections finds connections by their return pipe.
func (c *circuits) connections() map[string]int {
	of := make(map[string]int, len(c.part.Connections))
	for i := range c.part.Connections {
		of[c.connectionName(i)] = i
	}
	return of
}

// connectionCalled finds a connection by the name of its return pipe, or adds
// the fault that there is none.
func (c *circuits) connectionCalled(of map[string]int, name, pointer string, faults *fault.List) (int, bool) {
	i, ok := of[name]
	if ok || name == "" {
		return i, ok
	}
	for p := range c.g.System.Pipes {
		if c.g.System.Pipes[p].ID == name {
			faults.Add(pointer, fault.NotAConnection, "Pipe %q is not a return that starts at the supply.", name)
			return 0, false
		}
	}
	faults.Add(pointer, fault.PipeUnknown, "The system has no pipe %q.", name)
	return 0, false
}
