package service

import (
	"errors"
	"fmt"
	"math"

	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// judgeAll finds for every candidate the setting that suits best.
func (s *pumpSelection) judgeAll() {
	s.a.Pumps = make([]RankedPump, len(s.req.Candidates))
	for i := range s.a.Pumps {
		s.a.Pumps[i] = s.judge(i)
	}
}

func (s *pumpSelection) judge(i int) RankedPump {
	settings, err := s.settings(i)
	if err != nil {
		r := s.unset(i)
		s.refused(&r, nil, err)
		s.judgeRatings(&r)
		return r
	}
	var best RankedPump
	for k := range settings {
		r := s.at(i, &settings[k])
		if k == 0 || suitsBetter(&r, &best) {
			best = r
		}
	}
	best.Reach = s.reach(&best)
	return best
}

// suitsBetter prefers the setting that is fit and, of two that are, the one with
// less flow over the duty; of two that are not, the one nearer to being so.
func suitsBetter(a, b *RankedPump) bool {
	if a.Accepted != b.Accepted {
		return a.Accepted
	}
	if len(a.Rejections) != len(b.Rejections) {
		return len(a.Rejections) < len(b.Rejections)
	}
	return a.nearness < b.nearness
}

// farAway is the nearness of a pump that does not meet the system.
const farAway = 1e3

func (s *pumpSelection) unset(i int) RankedPump {
	c := &s.req.Candidates[i]
	r := RankedPump{ID: c.ID, Connection: c.Connection, index: i, nearness: farAway}
	if c.Price != nil {
		price := c.Price.Amount
		if c.Arrangement == TwoInParallel || c.Arrangement == DutyAndStandby {
			price *= 2
		}
		r.Price = &price
	}
	return r
}

// at judges a candidate at one setting.
func (s *pumpSelection) at(i int, t *pumpSetting) RankedPump {
	r := s.unset(i)
	r.setting = t
	if h, known := t.headAt(quantity.CubicMetresPerSecond(s.flow)); known {
		over := excess(h, s.head)
		r.ExcessHead = &over
	}
	duties, err := t.duties(s.system)
	if err != nil {
		s.refused(&r, t, err)
	} else {
		s.meets(&r, t, duties)
	}
	s.judgeRatings(&r)
	r.Accepted = len(r.Rejections) == 0
	return r
}

// excess of a value over a wanted one, as a ratio; what is only rounding is none,
// so that no order and no answer hangs on last bits.
func excess(value, wanted float64) float64 {
	over := value/wanted - 1
	if math.Abs(over) < slack-1 {
		return 0
	}
	return over
}

func (r *RankedPump) reject(code RejectionCode, d *quantity.Dimension, value, limit float64, format string, args ...any) {
	r.Rejections = append(r.Rejections, PumpRejection{code, fmt.Sprintf(format, args...), d, value, limit})
}

func (r *RankedPump) notAssessed(c Check, reason string) {
	r.NotAssessed = append(r.NotAssessed, NotAssessedCheck{c, reason})
}

// refused is a pump that does not meet the system where its curve is known.
func (s *pumpSelection) refused(r *RankedPump, t *pumpSetting, err error) {
	var apart *pump.Error
	if !errors.As(err, &apart) || t == nil || apart.Symbol == "" {
		r.reject(BeyondCurve, nil, 0, 0, "Its control holds the head at no flow of its curve.")
		return
	}
	scale := 1.0 // heads of pumps at a speed are told as those of the curve
	if t.held == nil {
		scale = t.pumps.Speed * t.pumps.Speed
	}
	span := t.span()
	switch apart.Reason {
	case pump.AboveShutOff:
		r.reject(AboveShutOff, quantity.LengthDimension, scale*apart.High, scale*apart.Value,
			"The system takes %.3g m where the pump gives %.3g m at most.", scale*apart.Value, scale*apart.High)
	case pump.BelowCurveStart:
		r.reject(BeforeCurve, quantity.FlowDimension, s.flow, span.From.CubicMetresPerSecond(),
			"It meets the system before the first point of its curve at %.3g L/min, where nothing is known.", 6e4*span.From.CubicMetresPerSecond())
	default:
		last := span.To.CubicMetresPerSecond()
		why := "it would run beyond it"
		if last < s.flow {
			why = "the duty lies beyond it"
		}
		r.reject(BeyondCurve, quantity.FlowDimension, max(s.flow, last), last,
			"Its curve ends at %.3g L/min and %.3g m, where the system takes only %.3g m: %s, where nothing is known.", 6e4*last, scale*apart.Low, scale*apart.Value, why)
	}
}

// meets judges a pump where it meets the system: at the first stable point, to
// which it comes from rest.
func (s *pumpSelection) meets(r *RankedPump, t *pumpSetting, duties []pump.Duty) {
	chosen := 0
	for chosen < len(duties)-1 && !duties[chosen].Stable {
		chosen++
	}
	if !duties[chosen].Stable {
		chosen = 0
		r.reject(UnstableOnly, nil, 0, 0, "Where it meets the system its curve rises more steeply than that of the system; it would hunt.")
	}
	at := &PumpDutyPoint{Duty: duties[chosen], SetHead: t.control.Head, LargestOn: t.span().To}
	r.At = at
	r.Others = append(r.Others, duties[:chosen]...)
	r.Others = append(r.Others, duties[chosen+1:]...)
	q := at.Flow.CubicMetresPerSecond()
	over := excess(q, s.flow)
	r.Excess, r.nearness = &over, s.nearnessOf(max(q, s.flow*1e-9))
	s.judgeFlow(r, q)
	s.judgeVelocity(r, q)
	s.judgePower(r, t)
	s.judgeNPSH(r)
}

// judgeFlow compares with the duty. Head at the flow of the duty counts where the
// duty lies above the system curve.
func (s *pumpSelection) judgeFlow(r *RankedPump, q float64) {
	const d = 6e4
	switch {
	case q < s.flow/slack:
		r.reject(ShortOfDuty, quantity.FlowDimension, q, s.flow, "It gives %.4g L/min in this system; the duty is %.4g.", d*q, d*s.flow)
	case s.head > s.taken*slack && r.ExcessHead != nil && *r.ExcessHead < 1/slack-1:
		r.reject(ShortOfDuty, quantity.LengthDimension, s.head*(1+*r.ExcessHead), s.head, "At the flow of the duty it gives %.4g m; the duty is %.4g m.", s.head*(1+*r.ExcessHead), s.head)
	}
	if e := s.req.Limits.Excess; e != nil {
		if most := s.flow * (1 + *e); q > most*slack {
			r.reject(ExcessFlow, quantity.FlowDimension, q, most, "It gives %.4g L/min in this system, %.3g %% more than the duty; at most %.4g are allowed.", d*q, 100*(q/s.flow-1), d*most)
		}
	}
}

func (s *pumpSelection) judgeVelocity(r *RankedPump, q float64) {
	if s.fastest.perFlow == 0 {
		r.notAssessed(CheckVelocity, "No bore is known.")
		return
	}
	r.Velocity = quantity.MetresPerSecond(s.fastest.perFlow * q)
	if v := s.judged.perFlow * q; s.judged.limit > 0 && v > s.judged.limit*slack {
		where := "the tightest pipe"
		if s.judged.pipe != "" {
			where = fmt.Sprintf("pipe %q", s.judged.pipe)
		}
		r.reject(VelocityLimit, quantity.VelocityDimension, v, s.judged.limit, "At its flow the water in %s has %.3g m/s; %.3g are allowed.", where, v, s.judged.limit)
	}
}
