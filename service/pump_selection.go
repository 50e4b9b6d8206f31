package service

import (
	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// PumpSelection judges candidates by where they would run. It gives nil and adds
// to faults if the request is wrong.
func PumpSelection(req *PumpSelectionRequest, faults *fault.List) *PumpSelectionAnswer {
	s := &pumpSelection{req: req, a: &PumpSelectionAnswer{}, work: working{wanted: req.ShowWorking}}
	s.readCandidates(faults)
	s.checkMoney(faults)
	s.checkRanking(faults)
	s.findDuty(faults)
	s.hours(faults)
	s.checkSize(faults)
	if !faults.Empty() {
		return nil
	}
	s.findSuction()
	s.judgeAll()
	s.rank()
	s.note()
	s.show()
	return s.a
}

// pumpSelection is one request on its way to an answer.
type pumpSelection struct {
	req    *PumpSelectionRequest
	a      *PumpSelectionAnswer
	work   working
	curves []candidateCurves

	system  pump.System
	parts   int     // of the system, that each look at it asks
	flow    float64 // of the duty, m3/s
	head    float64 // that a pump must give there, m
	taken   float64 // that the system takes there, m
	water   quantity.Temperature
	density float64 // kg/m3

	fastest velocityIn
	judged  velocityIn // that has a limit; limit zero: none has
	npsh    *quantity.Length
	noNPSH  string // why it is not known
}

// velocityIn is a pipe in which the water has a velocity by the whole flow.
type velocityIn struct {
	pipe    string
	perFlow float64 // 1/m2
	limit   float64 // m/s
}

// candidateCurves are the curves of one candidate.
type candidateCurves struct{ head, npsh *pump.Curve }

// readCandidates makes the curves.
func (s *pumpSelection) readCandidates(faults *fault.List) {
	s.curves = make([]candidateCurves, len(s.req.Candidates))
	first := make(map[string]bool, len(s.req.Candidates))
	for i := range s.req.Candidates {
		c := &s.req.Candidates[i]
		if c.ID != "" && first[c.ID] {
			faults.Add(listPointer("/candidates", i, "/id"), fault.DuplicateID, "There is a candidate %q before this one.", c.ID)
		}
		first[c.ID] = true
		if c.Unreadable {
			continue
		}
		s.curves[i].head = newCurve(c.Curve, listPointer("/candidates", i, "/curve"), faults)
		if c.NPSH != nil {
			s.curves[i].npsh = newCurve(c.NPSH, listPointer("/candidates", i, "/npsh_required"), faults)
		}
	}
}

// newCurve makes a curve of points that stand at a place in the request; nil if
// they are wrong.
func newCurve(points []pump.Point, at string, faults *fault.List) *pump.Curve {
	curve, err := pump.NewCurve(points, pump.Monotone)
	if err != nil {
		curveFault(err, at, faults)
		return nil
	}
	return curve
}
