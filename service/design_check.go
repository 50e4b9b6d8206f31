package service

import "recirc/calc/fault"

// CheckDesign compares a design with rules. It gives nil and adds to faults if
// the request is wrong. It never says that a design complies: it counts what it
// assessed.
func CheckDesign(req *DesignCheckRequest, faults *fault.List) *DesignCheck {
	g := build(&req.System, faults)
	if g == nil {
		return nil
	}
	return &DesignCheck{}
}
