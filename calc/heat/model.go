package heat

import (
	"math"

	"recirc/calc/internal/solve"
	"recirc/calc/quantity"
)

// model is a pipe made ready for one or many temperatures of its water.
type model struct {
	chain   chain
	outside outside
	Te      float64 // temperature at which it loses nothing
	gain    float64 // 1 + allowance
	guess   float64 // conductance of what is outside, W/(m.K), from the last solution
}

func (p *Pipe) model(operation string, coolest, warmest float64, flow quantity.Flow) (model, error) {
	c := quantity.Checks{Operation: operation}
	c.Between("water temperature", coolest, coldest, hottest, "K")
	c.Between("water temperature", warmest, coldest, hottest, "K")
	c.Between("flow", flow.CubicMetresPerSecond(), 0, greatestFlow, "m3/s")
	T, Tr := p.Surroundings.Temperature.Kelvin(), p.Surroundings.radiant()
	c.Between("surroundings temperature", T, coldest, hottest, "K")
	c.Between("Radiant", Tr, coldest, hottest, "K")
	coolest, warmest = min(coolest, T, Tr), max(warmest, T, Tr)
	p.check(&c, coolest, warmest)
	p.Surroundings.check(&c, p.OuterDiameter().Metres(), coolest, warmest)
	if c.Err != nil {
		return model{}, c.Err
	}
	m := model{gain: 1 + p.FittingsAllowance}
	var diameter float64
	m.chain, diameter = p.chain()
	m.outside = p.outside(diameter)
	m.Te = m.outside.Ta
	if m.outside.Tr != m.outside.Ta {
		var err error
		if m.Te, err = m.outside.equilibrium(); err != nil {
			return model{}, err
		}
	}
	return m, nil
}

// firstGuess is about what the surface of a pipe gives off per metre and kelvin
// when it is so much warmer than its surroundings.
func (o *outside) firstGuess(difference float64) float64 {
	if o.linear > 0 {
		return 1 / o.linear
	}
	h := 1.1 * math.Sqrt(math.Sqrt(math.Abs(difference)/o.D))
	if o.kind == MovingAir {
		h = max(h, 3.3*math.Sqrt(o.speed/o.D))
	}
	return o.perimeter * (h + 6*o.e)
}

// equilibrium is the temperature at which the surface gets by radiation what it
// gives off to the air.
func (o *outside) equilibrium() (float64, error) {
	low, high := min(o.Ta, o.Tr), max(o.Ta, o.Tr)
	var fault error
	T, err := solve.Rising(func(T float64) (float64, float64) {
		f, err := o.at(T)
		if err != nil {
			fault = err
			return math.NaN(), 0
		}
		return f.flux, f.slope
	}, low+(high-low)/2, low, high, 1e-13, 200)
	if fault != nil {
		return 0, fault
	}
	return T, err
}

// state is the steady state at one temperature of the water.
type state struct {
	q, UA      float64 // without allowance
	Ts         float64
	insulation float64 // resistances
	outside    float64
	face       face
}

// tolerance of the search for the loss, relative. The balance is closed after
// it, which takes off another digit.
const tolerance = 1e-6

// at solves for the loss at which the surface, cooled through the chain, gives
// off just as much as comes. Seeking the loss and not the temperature keeps both
// ends well conditioned: a bare pipe, where the surface is as warm as the water,
// and a thick cover, where it is as cold as the air.
func (m *model) at(Tw float64) (state, error) {
	asked := Tw - m.Te
	difference := asked
	if math.Abs(difference) < leastDifference {
		difference = math.Copysign(leastDifference, difference)
	}
	m.chain.water = m.Te + difference
	least := m.leastResistance(difference)
	var s state
	var fault error
	try := func(q float64) (float64, float64) {
		T, fall, ok := m.chain.surface(q)
		if !ok || (T-m.Te)*difference < 0 {
			return q, 0 // more heat than can flow: the root is nearer to zero
		}
		if s.face, fault = m.outside.at(T); fault != nil {
			return math.NaN(), 0
		}
		s.Ts = T
		return q - s.face.flux, 1 + fall*s.face.slope
	}
	end := difference / least
	if m.guess == 0 {
		m.guess = m.outside.firstGuess(difference)
		// A cover leaves the surface but a part of the difference.
		m.guess = m.outside.firstGuess(difference / (1 + least*m.guess))
	}
	guess := difference / (least + 1/m.guess)
	q, err := solve.Rising(try, guess, min(0, end), max(0, end), tolerance, 200)
	switch {
	case fault != nil:
		return state{}, fault
	case err != nil:
		return state{}, err
	}
	s.finish(m, q)
	s.q = s.UA * asked
	return s, nil
}

// leastDifference between water and ambient that a loss is solved for, in K.
// Nearer than this UA stays as it is here: the differences of temperatures run
// out of digits, and the limit of a sixth root is nothing that anyone asks for.
const leastDifference = 1e-6

// leastResistance is a resistance that the pipe has in any case, without what
// is outside. It must not be zero, because it bounds the loss.
func (m *model) leastResistance(difference float64) float64 {
	r := m.chain.film + m.chain.wall
	warm, cold := m.chain.water, m.chain.water-difference
	for i := range m.chain.n {
		s := &m.chain.shell[i]
		r += s.factor / max(s.k+s.per*(warm-s.refers), s.k+s.per*(cold-s.refers))
	}
	return max(r, 1e-12)
}

// finish closes the balance: UA by the resistances at the surface found, which is
// closer than the search left it.
func (s *state) finish(m *model, q float64) {
	o := &m.outside
	s.insulation = m.chain.insulation(q)
	s.outside = (s.Ts - m.Te) / s.face.flux
	if o.linear > 0 {
		s.outside = o.linear
	} else if o.Ta == o.Tr {
		s.outside = 1 / (o.perimeter * (s.face.convection + s.face.radiation))
	} else if math.Abs(s.Ts-m.Te) < 1e-6 {
		s.outside = 1 / s.face.slope
	}
	s.UA = 1 / (m.chain.film + m.chain.wall + s.insulation + s.outside)
	m.guess = 1 / s.outside
}
