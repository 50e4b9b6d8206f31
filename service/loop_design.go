package service

import "recirc/calc/fault"

// LoopDesign designs the loop of a system. It gives nil and adds to faults if
// the system or the target is wrong.
func LoopDesign(req *LoopDesignRequest, faults *fault.List) *LoopDesignAnswer { return nil }
