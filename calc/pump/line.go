package pump

import (
	"math"
	"sort"
)

// piece is a cubic over a range of flows, in which it only rises or only falls
//
//	y + t (d + t (c2 + t c3)),  t = x - at
type piece struct {
	from, to     float64
	at           float64 // at <= from
	y, d, c2, c3 float64
	end          float64 // the value at the right end of the cubic, before any cut
	held         bool    // a control holds this piece
}

// value is kept between those of the ends, so that rounding makes no head negative.
func (p *piece) value(x float64) (value, slope float64) {
	t := x - p.at
	value = p.y + t*(p.d+t*(p.c2+t*p.c3))
	return min(max(value, min(p.y, p.end)), max(p.y, p.end)), p.d + t*(2*p.c2+3*t*p.c3)
}

func (p *piece) rising() bool { return p.end > p.y }

// stretched gives the piece with flows and values multiplied.
func (p piece) stretched(flow, value float64) piece {
	return piece{
		from: p.from * flow, to: p.to * flow, at: p.at * flow, y: p.y * value, end: p.end * value,
		d: p.d * value / flow, c2: p.c2 * value / flow / flow, c3: p.c3 * value / flow / flow / flow, held: p.held,
	}
}

// line is pieces side by side, each from the end of the one before.
type line struct {
	pieces []piece
	runs   []run
}

// run is pieces that follow one another and all rise, or all do not.
type run struct {
	from, to float64
	rising   bool
	pieces   []piece
}

func newLine(pieces []piece) line {
	l := line{pieces: pieces}
	first := 0
	for i := range pieces {
		if i+1 == len(pieces) || pieces[i+1].rising() != pieces[i].rising() {
			l.runs = append(l.runs, run{from: pieces[first].from, to: pieces[i].to, rising: pieces[i].rising(), pieces: pieces[first : i+1]})
			first = i + 1
		}
	}
	return l
}

func (l *line) from() float64 { return l.pieces[0].from }

func (l *line) to() float64 { return l.pieces[len(l.pieces)-1].to }

func (l *line) lowest() float64 {
	least := math.Inf(1)
	for i := range l.pieces {
		least = min(least, l.pieces[i].y, l.pieces[i].end)
	}
	return least
}

func (l *line) highest() float64 {
	most := math.Inf(-1)
	for i := range l.pieces {
		most = max(most, l.pieces[i].y, l.pieces[i].end)
	}
	return most
}

// roundingSlack lets a flow pass that lies beyond an end by the rounding of its
// own calculation.
const roundingSlack = 1e-12

// within gives a flow in the line's range, or the reason why it is in none.
func (l *line) within(operation string, x float64) (float64, error) {
	from, to := l.from(), l.to()
	switch {
	case x >= from && x <= to:
		return x, nil
	case x < from && x >= from*(1-roundingSlack):
		return from, nil
	case x > to && x <= to*(1+roundingSlack):
		return to, nil
	case x < from && x >= 0:
		return 0, &Error{Operation: operation, Reason: BelowCurveStart, Symbol: "Q", Value: x, Low: from, High: to, Unit: "m3/s"}
	case x > to && x <= greatestFlow/slowest:
		return 0, &Error{Operation: operation, Reason: BeyondCurveEnd, Symbol: "Q", Value: x, Low: from, High: to, Unit: "m3/s"}
	}
	return 0, rangeError(operation, "Q", x, 0, to, "m3/s")
}

// piece finds the one that has a flow within the range.
func (l *line) piece(x float64) *piece {
	i := sort.Search(len(l.pieces), func(i int) bool { return l.pieces[i].to >= x })
	return &l.pieces[min(i, len(l.pieces)-1)]
}
