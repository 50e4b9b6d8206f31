package service

import "recirc/calc/fault"

// LoopSimulation finds flows and temperatures of a loop as it stands. It gives
// nil and adds to faults if the system is wrong or cannot be solved.
func LoopSimulation(req *LoopSimulationRequest, faults *fault.List) *LoopSimulationAnswer { return nil }
