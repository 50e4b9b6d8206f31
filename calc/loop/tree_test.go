package loop

import (
	"fmt"
	"math"

	"pgregory.net/rapid"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// failer is a test, a benchmark or a property.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// warm is water of 57 degC, as the reference networks have it.
var warm = water.Properties{Density: 984.8131782, Viscosity: 0.0004880574337, SpecificHeat: 4181.128788}

func tube(length, bore float64) hydraulic.Pipe {
	return hydraulic.Pipe{Length: quantity.Metres(length), Bore: quantity.Metres(bore), Roughness: quantity.Metres(1.5e-6), SumK: 3}
}

func run(next int32, length, bore float64) Pipe {
	return Pipe{Next: next, Line: tube(length, bore), UA: 0.2 * length, Ambient: quantity.Celsius(20)}
}

// comb is a main with branches, each with a riser and its return. The return main
// runs back beside the supply main; reversed, it goes on past the last branch and
// then home (a loop by Tichelmann's principle).
func comb(branches int, reversed bool) *Loop {
	l := &Loop{Outlet: quantity.Celsius(60), Water: warm, Supplies: 2 * branches}
	bore := func(served int) float64 { return 0.012 * math.Sqrt(float64(served)) } // of one velocity
	for i := range branches {
		feeder := None
		if i > 0 {
			feeder = int32(2*i - 2)
		}
		l.Pipes = append(l.Pipes, run(feeder, 4, bore(branches-i)), run(int32(2*i), 10, 0.016))
	}
	for i := range branches {
		l.Pipes = append(l.Pipes, run(None, 10, 0.012))
		l.Connections = append(l.Connections, Connection{Supply: int32(2*i + 1), Return: int32(2*branches + i)})
	}
	first := int32(len(l.Pipes))
	for i := range branches {
		joined := i
		if !reversed {
			joined = branches - 1 - i
		}
		next := first + int32(i) + 1
		length := 4.0
		if i == branches-1 {
			next = None
			if reversed {
				length = 4 * float64(branches)
			}
		}
		l.Pipes[2*branches+joined].Next = first + int32(i)
		l.Pipes = append(l.Pipes, run(next, length, bore(i+1)))
	}
	return l
}

// drawTree draws a loop of up to some connections: a supply tree that starts
// returns at all its ends and here and there between, and returns that join at
// random on their way home.
func drawTree(t *rapid.T, most int) *Loop {
	f := func(low, high float64, label string) float64 { return rapid.Float64Range(low, high).Draw(t, label) }
	l := &Loop{Outlet: quantity.Celsius(f(50, 75, "outlet")), Water: warm}
	draw := func(next int32) Pipe {
		p := run(next, f(0.5, 40, "length"), f(0.010, 0.050, "bore"))
		p.UA = p.Line.Length.Metres() * f(0.05, 0.6, "UA")
		p.Ambient = quantity.Celsius(f(5, 35, "ambient"))
		return p
	}
	l.Supplies = rapid.IntRange(1, most).Draw(t, "supplies")
	feeds := make([]int, l.Supplies)
	for i := range l.Supplies {
		feeder := None
		if i > 0 {
			feeder = int32(rapid.IntRange(max(-1, i-5), i-1).Draw(t, "feeder"))
		}
		if feeder != None {
			feeds[feeder]++
		}
		l.Pipes = append(l.Pipes, draw(feeder))
	}
	for i := range l.Supplies {
		if feeds[i] == 0 || rapid.IntRange(0, 3).Draw(t, "between") == 0 {
			l.Connections = append(l.Connections, Connection{Supply: int32(i)})
		}
	}
	l.drawReturns(t, draw)
	return l
}

func (l *Loop) drawReturns(t *rapid.T, draw func(int32) Pipe) {
	n := len(l.Connections)
	mains := rapid.IntRange(0, n).Draw(t, "mains")
	main := func(i, from int) int32 { // a main, None for the heater
		if from >= mains {
			return None
		}
		k := rapid.IntRange(from, mains).Draw(t, fmt.Sprintf("joins %d", i))
		if k == mains {
			return None
		}
		return int32(l.Supplies + n + k)
	}
	for i := range n {
		l.Connections[i].Return = int32(l.Supplies + i)
		l.Pipes = append(l.Pipes, draw(main(i, 0)))
	}
	for k := range mains {
		l.Pipes = append(l.Pipes, draw(main(n+k, k+1)))
	}
}

// places is where the parts of a loop are in its network.
type places struct {
	pipe  []int // links, by pipe of the loop
	valve []int // links, by connection
}

// network lays a loop out as links: pump and heater, every pipe, and a valve at the
// start of every return.
func (l *Loop) network(valve []quantity.FlowCoefficient, gain Gain) (*Network, places) {
	const inlet, outlet, joined = 0, 1, 2
	n := &Network{Nodes: 3, Root: joined}
	node := func() int32 { n.Nodes++; return int32(n.Nodes - 1) }
	n.Links = []Link{{From: joined, To: inlet, Pump: gain}, {From: inlet, To: outlet, Heated: l.Outlet}}
	at := places{pipe: make([]int, len(l.Pipes)), valve: make([]int, len(l.Connections))}
	end, start := make([]int32, len(l.Pipes)), make([]int32, len(l.Pipes))
	for p := range l.Pipes {
		end[p], start[p] = node(), node()
	}
	for p := range l.Pipes {
		pipe := &l.Pipes[p]
		link := Link{From: outlet, To: end[p], Curve: pipe.Line.Curve(l.fluid()), UA: pipe.UA, Ambient: pipe.Ambient}
		switch {
		case p >= l.Supplies:
			link.From, link.To = start[p], joined
			if pipe.Next != None {
				link.To = start[pipe.Next]
			}
		case pipe.Next != None:
			link.From = end[pipe.Next]
		}
		at.pipe[p] = len(n.Links)
		n.Links = append(n.Links, link)
	}
	for i, c := range l.Connections {
		at.valve[i] = len(n.Links)
		n.Links = append(n.Links, Link{From: end[c.Supply], To: start[c.Return], Curve: hydraulic.Pipe{Kv: valve[i]}.Curve(l.fluid()), Ambient: quantity.Celsius(20)})
	}
	return n, at
}

func kvFor(q, drop float64, f hydraulic.Fluid) quantity.FlowCoefficient {
	return hydraulic.KvFor(quantity.CubicMetresPerSecond(q), quantity.Pascals(drop), f)
}
