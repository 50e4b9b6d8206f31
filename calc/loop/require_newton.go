package loop

import "math"

const (
	mostRounds  = 400
	mostTurns   = 50
	patient     = 30.0  // rounds, after which steps become shorter, so that none is repeated for ever
	enough      = 60    // rounds, after which goals that are met will do: next to lossless pipes hardly tell one flow from another
	leastQ      = 1e-12 // m3/s, a drop in twelve hours
	leastGain   = 1e-8  // of a goal's pipe, relative
	closeEnough = 1e-11 // K: the step that is due is the last
	allowed     = 1e-9  // K, of a goal missed
	tooWarm     = 5e-8  // K, beyond a goal
	steady      = 1e-11 // relative change of a flow: rounding keeps the goals from coming closer
)

// tree is the pipes up to where the goals hold.
type tree struct {
	l     *Loop
	pipes []branch // each behind its feeder

	// By connection:
	end    []int32   // the branch at whose end its goal holds
	goal   []float64 // K
	least  []float64 // the flow if the goal asks for no more, m3/s
	flow   []float64
	step   []float64 // of flow
	byHeat []bool

	conduct float64 // rho cp
}

// branch is one pipe in the equations.
type branch struct {
	pipe, feeder int32 // feeder: of branches
	connection   int32 // whose goal holds at its end, or None
	Q, T         float64

	kept, gain  float64 // dT/dT in, dT/dQ
	alpha, beta float64 // dQ = alpha + beta dT in
	sumA, sumB  float64 // the same of all that hangs on its end
	dQ, dT      float64
}

func (l *Loop) newTree(goals []Goal) *tree {
	n := len(goals)
	all := make([]float64, 4*n)
	t := &tree{
		l: l, conduct: l.Water.VolumetricHeat(), end: make([]int32, n), byHeat: make([]bool, n),
		goal: all[:n], least: all[n : 2*n], flow: all[2*n : 3*n], step: all[3*n:],
	}
	for i, g := range goals {
		t.goal[i], t.least[i] = g.Temperature.Kelvin(), max(g.LeastFlow, leastQ)
	}
	t.pipes = make([]branch, l.Supplies, len(l.Pipes))
	for p := range t.pipes {
		t.pipes[p] = branch{pipe: int32(p), feeder: l.Pipes[p].Next, connection: None}
	}
	for i, c := range l.Connections {
		at := c.Supply
		for p := c.Return; t.pipes[at].pipe != goals[i].Pipe; p = l.Pipes[p].Next {
			t.pipes = append(t.pipes, branch{pipe: p, feeder: at, connection: None})
			at = int32(len(t.pipes) - 1)
		}
		t.pipes[at].connection = int32(i)
		t.end[i] = at
	}
	return t
}

func (t *tree) pipe(b *branch) *Pipe { return &t.l.Pipes[b.pipe] }

// reachable checks every goal against the outlet and the surroundings on its way.
func (t *tree) reachable() error {
	warmest := make([]int32, len(t.pipes)) // of the pipes up to here, the one with the warmest surroundings
	for i := range t.pipes {
		b := &t.pipes[i]
		warmest[i] = b.pipe
		if b.feeder != None && t.l.Pipes[warmest[b.feeder]].Ambient.Kelvin() > t.pipe(b).Ambient.Kelvin() {
			warmest[i] = warmest[b.feeder]
		}
		if b.connection == None {
			continue
		}
		goal := t.goal[b.connection]
		if goal > t.l.Outlet.Kelvin()-apart {
			return &ReachError{int(b.connection), None}
		}
		if goal < t.l.Pipes[warmest[i]].Ambient.Kelvin()+apart {
			return &ReachError{int(b.connection), warmest[i]}
		}
	}
	return nil
}

// start takes the flow that each goal would ask for if its way were its own and
// losses did not fall along it.
func (t *tree) start() {
	loss, users := make([]float64, len(t.pipes)), make([]int, len(t.pipes))
	for i := len(t.pipes) - 1; i >= 0; i-- {
		if t.pipes[i].connection != None {
			users[i]++
		}
		if f := t.pipes[i].feeder; f != None {
			users[f] += users[i]
		}
	}
	for i := range t.pipes {
		b := &t.pipes[i]
		loss[i] = t.pipe(b).UA * (t.l.Outlet.Kelvin() - t.pipe(b).Ambient.Kelvin()) / float64(max(1, users[i]))
		if b.feeder != None {
			loss[i] += loss[b.feeder]
		}
		if c := b.connection; c != None {
			t.byHeat[c] = true
			t.flow[c] = max(loss[i]/(t.conduct*(t.l.Outlet.Kelvin()-t.goal[c])), t.least[c])
		}
	}
}

// newton goes to the flows that keep the goals, and reports whether it got there.
func (t *tree) newton() bool {
	for round := range mostRounds {
		t.evaluate()
		near := t.met(closeEnough, closeEnough)
		t.linear()
		part, change := t.part(max(0.25, min(1, patient/float64(round))))
		for c := range t.flow {
			t.flow[c] = max(t.flow[c]+part*t.step[c], t.least[c])
			if part == 1 && !t.byHeat[c] {
				t.flow[c] = t.least[c]
			}
		}
		if part < 1 || !near && change > steady && round < enough {
			continue
		}
		if t.evaluate(); t.met(allowed, tooWarm) {
			return true
		}
	}
	return false
}

// linear solves the equations as they are near the present flows, and with them
// decides at each connection what governs. What is switched brings the rest nearer
// to what is right, so that some turns do.
func (t *tree) linear() {
	for range mostTurns {
		t.sweepIn()
		t.sweepOut()
		if !t.choose() {
			return
		}
	}
}

// evaluate finds flows and temperatures, and how the temperatures would change.
func (t *tree) evaluate() {
	for i := range t.pipes {
		t.pipes[i].Q = 0
	}
	for c, at := range t.end {
		t.pipes[at].Q += t.flow[c]
	}
	for i := len(t.pipes) - 1; i >= 0; i-- {
		if b := &t.pipes[i]; b.feeder != None {
			t.pipes[b.feeder].Q += b.Q
		}
	}
	for i := range t.pipes {
		b := &t.pipes[i]
		in, Ta := t.l.Outlet.Kelvin(), t.pipe(b).Ambient.Kelvin()
		if b.feeder != None {
			in = t.pipes[b.feeder].T
		}
		N := t.pipe(b).UA / (b.Q * t.conduct)
		b.kept = math.Exp(-N)
		b.T = Ta + (in-Ta)*b.kept
		b.gain = max(0, (in-Ta)*b.kept*N/b.Q)
		if c := b.connection; c != None { // where its own pipe loses next to nothing, those before it must move the goal
			b.gain = max(b.gain, leastGain*(t.l.Outlet.Kelvin()-t.goal[c])/b.Q)
		}
	}
}

// choose decides at each connection what governs after the step, and reports
// whether that is something else than before it.
func (t *tree) choose() (switched bool) {
	for c, at := range t.end {
		b := &t.pipes[at]
		heat := t.byHeat[c]
		switch {
		case heat && t.flow[c]+t.step[c] < t.least[c]:
			heat = false
		case !heat && t.goal[c]-b.T-b.dT > closeEnough:
			heat = true
		}
		if heat != t.byHeat[c] {
			t.byHeat[c], switched = heat, true
		}
	}
	return switched
}

// sweepIn writes the flow of each branch as a line in its inlet temperature.
func (t *tree) sweepIn() {
	for i := range t.pipes {
		t.pipes[i].sumA, t.pipes[i].sumB = 0, 0
	}
	for i := len(t.pipes) - 1; i >= 0; i-- {
		b := &t.pipes[i]
		if c := b.connection; c != None && t.byHeat[c] {
			b.alpha, b.beta = (t.goal[c]-b.T)/b.gain, -b.kept/b.gain
		} else {
			if c != None {
				b.sumA += t.least[c] - t.flow[c]
			}
			d := 1 - b.sumB*b.gain // at least 1
			b.alpha, b.beta = b.sumA/d, b.sumB*b.kept/d
		}
		if b.feeder != None {
			f := &t.pipes[b.feeder]
			f.sumA, f.sumB = f.sumA+b.alpha, f.sumB+b.beta
		}
	}
}

// sweepOut finds the step.
func (t *tree) sweepOut() {
	for i := range t.pipes {
		b := &t.pipes[i]
		dIn := 0.0
		if b.feeder != None {
			dIn = t.pipes[b.feeder].dT
		}
		b.dQ = b.alpha + b.beta*dIn
		b.dT = b.kept*dIn + b.gain*b.dQ
		switch c := b.connection; {
		case c == None:
		case t.byHeat[c]:
			t.step[c] = b.dQ - b.sumA - b.sumB*b.dT
		default:
			t.step[c] = t.least[c] - t.flow[c]
		}
	}
}

// part is how much of the step to take, so that no flow grows to more than four
// times or falls to less than a quarter, or less than that by the stride: the
// equations are far from straight. All flows take the same part, because they were
// found for each other. With it comes the greatest relative change that the whole
// step would make.
func (t *tree) part(stride float64) (part, change float64) {
	part = 1
	for c, dq := range t.step {
		r := dq / t.flow[c]
		change = max(change, math.Abs(r))
		if r > 3*stride {
			part = min(part, 3*stride/r)
		}
		if r < -0.75*stride && t.flow[c] > 4*t.least[c] {
			part = min(part, -0.75*stride/r)
		}
	}
	return part, change
}

// met reports that every goal is kept, and just kept where it governs.
func (t *tree) met(short, over float64) bool {
	for c, at := range t.end {
		miss := t.goal[c] - t.pipes[at].T
		if miss > short || t.byHeat[c] && t.flow[c] > t.least[c] && miss < -over {
			return false
		}
	}
	return true
}
