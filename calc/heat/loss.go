package heat

import (
	"math"

	"recirc/calc/air"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// Loss is what a metre of pipe loses, and how it comes about.
type Loss struct {
	PerMetre quantity.LinearHeatLoss // allowance included; below zero if the pipe gains heat
	UA       float64                 // W/(m.K), allowance included: PerMetre = UA (water - Ambient)

	// Ambient is the temperature that a pipe without water's heat would take:
	// that of the surroundings, or between air and radiant temperature.
	Ambient quantity.Temperature
	Surface quantity.Temperature // of the outermost surface

	// Resistances of the pipe without allowance, m.K/W; their sum times PerMetre
	// over 1 + allowance is the difference of water and Ambient.
	InsideFilm, Wall, Insulation, Outside float64

	Convection, Radiation float64 // parts of the film of air, W/(m2.K); a given coefficient is all convection

	Regime                    Regime // of the water
	InsideReynolds            float64
	Rayleigh, OutsideReynolds float64 // of the air, by the diameter or the height of a vertical pipe
	Notes                     Notes
}

// Loss gives what a metre of pipe loses in the steady state
//
//	Tw - Te = q (R_film + R_wall + R_insulation + R_outside)
//	R_film    = 1/(pi d h)                      [InsideFilm]; none in standing water
//	R_wall    = ln(D/d)/(2 pi k)                likewise each layer of insulation
//	R_outside = 1/(pi D (h_c + h_r))            in air: [NaturalConvection] or wind, and [RadiationCoefficient]
//	          = 1/(k_ground S)                  in ground or slab: [ShapeFactor]
//	          = 1/(pi D h)                      with a given coefficient
//
//	Tw    water                             K    0 to 110 degC where it flows
//	Te    surroundings, see [Loss.Ambient]  K
//	q     loss without allowance            W/m
//	flow  of the water; 0: standing         m3/s
//
// h_c and h_r depend on the temperature of the surface, which is solved for. With
// water as cold as Te, UA is that of a microkelvin of difference. Standing
// water may have any temperature for which air at the film is between 200 and
// 400 K. Valid for one pipe by itself: pipes close together lose less. Moisture in
// insulation, gaps and supports are not in it; see FittingsAllowance.
//
// Errors: a [*RangeError] or an [*UnknownError] that names what is out of range.
//
// Source: series resistances, textbook conduction; the sources of its parts,
// which [Pipe.Sources] lists.
func (p Pipe) Loss(Tw quantity.Temperature, flow quantity.Flow) (Loss, error) {
	return p.loss(Tw, flow, nil)
}

// loss is Loss; fixed stands in for the properties of the air, for tests that
// take a table's.
func (p Pipe) loss(Tw quantity.Temperature, flow quantity.Flow, fixed *air.Properties) (Loss, error) {
	T := Tw.Kelvin()
	m, err := p.model("heat.Pipe.Loss", T, T, flow)
	if err != nil {
		return Loss{}, err
	}
	m.outside.fixed = fixed
	film := Film{Regime: Standing}
	if q := flow.CubicMetresPerSecond(); q > 0 {
		w, err := water.At(Tw)
		if err != nil {
			return Loss{}, err
		}
		film = insideFilm(p.Tube.Bore.Metres(), p.Tube.Roughness.Metres(), q, &w)
		m.chain.film = 1 / (math.Pi * p.Tube.Bore.Metres() * film.Coefficient.WattsPerSquareMetreKelvin())
	}
	s, err := m.at(T)
	if err != nil {
		return Loss{}, err
	}
	return s.loss(&m, film), nil
}

func (s *state) loss(m *model, film Film) Loss {
	return Loss{
		PerMetre: quantity.WattsPerMetre(s.q * m.gain), UA: s.UA * m.gain,
		Ambient: quantity.Kelvin(m.Te), Surface: quantity.Kelvin(s.Ts),
		InsideFilm: m.chain.film, Wall: m.chain.wall, Insulation: s.insulation, Outside: s.outside,
		Convection: s.face.convection, Radiation: s.face.radiation,
		Regime: film.Regime, InsideReynolds: film.Reynolds,
		Rayleigh: s.face.film.rayleigh, OutsideReynolds: s.face.film.reynolds,
		Notes: film.Notes | s.face.film.notes | m.outside.standing,
	}
}
