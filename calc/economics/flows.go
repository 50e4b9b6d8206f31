package economics

import (
	"recirc/calc/quantity"
)

// PresentValue gives what amounts by year are worth at the base date
//
//	P = sum over t of F_t (1 + r)^-t
//
//	F  amount of the year, the first at the base date   money   -1e100 to 1e100, 1 to 101 of them
//	r  discount rate                                    1       -0.5 to 1
//
// Errors: a [*quantity.RangeError].
//
// Source: NIST Handbook 135, present value, from memory.
func PresentValue(flows []float64, rate float64) (float64, error) {
	discounted, err := Discounted(flows, rate)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, f := range discounted {
		sum += f
	}
	return sum, nil
}

// Discounted gives amounts by year, each at its present value, with the range and
// the errors of [PresentValue].
func Discounted(flows []float64, rate float64) ([]float64, error) {
	c := quantity.Checks{Operation: "economics.Discounted"}
	c.Between("r", rate, LeastRate, GreatestRate, "1")
	checkFlows(&c, flows)
	if c.Err != nil {
		return nil, c.Err
	}
	discounted := make([]float64, len(flows))
	for t, f := range flows {
		discounted[t] = f * grown(rate, -t)
	}
	return discounted, nil
}

// Cumulative gives the sum of the amounts up to each year.
func Cumulative(flows []float64) []float64 {
	sums := make([]float64, len(flows))
	sum := 0.0
	for t, f := range flows {
		sum += f
		sums[t] = sum
	}
	return sums
}

func checkFlows(c *quantity.Checks, flows []float64) {
	c.Between("number of F", float64(len(flows)), 1, MostYears+1, "1")
	for _, f := range flows {
		c.Between("F", f, -greatestFlow, greatestFlow, "money")
	}
}

// greatestFlow is far above what the greatest amounts come to at the greatest rates,
// some 1e72.
const greatestFlow = 1e100
