package economics

// Basis says whether amounts and rates hold general inflation.
type Basis string

// The bases. Both give the same present values from rates that belong together.
const (
	ConstantDollar Basis = "constant_dollar" // real rates, amounts in prices of the base date
	CurrentDollar  Basis = "current_dollar"  // nominal rates, amounts in prices of their year
)

// Study is what all alternatives of a comparison share.
type Study struct {
	Years   int // from the base date to the end, 1 to [MostYears]
	Service int // years from the base date to the service date, from which there are yearly costs; 0 to Years-1
	Basis   Basis

	Rate      float64 // discount rate a year: real or nominal, by the basis
	Inflation float64 // general, a year; in current dollars only
}

// Escalation is how the price of one thing moves. Its zero value moves with
// general prices: not at all in constant dollars, with inflation in current ones.
type Escalation struct {
	rate float64
	own  bool
}

// EscalatingAt is a rate a year of its own: real in constant dollars, nominal in
// current ones. From -0.5 to 1.
func EscalatingAt(rate float64) Escalation { return Escalation{rate: rate, own: true} }

// rate gives the yearly escalation in the terms of the study.
func (s Study) escalation(e Escalation) float64 {
	switch {
	case e.own:
		return e.rate
	case s.Basis == CurrentDollar:
		return s.Inflation
	}
	return 0
}

// Yearly is a cost at the end of every year from the service date on.
type Yearly struct {
	Name       string
	Amount     float64 // a year, in prices of the base date; below zero if it is income
	Escalation Escalation
}

// Dated is a cost in one year.
type Dated struct {
	Name       string
	Amount     float64 // in prices of the base date; below zero if it is a grant
	Year       int     // after the base date, at its end; 0 is the base date, not discounted
	Escalation Escalation

	// Life is in years from Year until this part is replaced or worn out. At the
	// end of the study the part is worth the share of its life that is left. 0:
	// nothing is left of it.
	Life int
}

// Alternative is one way to build and run a thing.
type Alternative struct {
	Investment    []Dated
	Energy        []Yearly // by commodity, each with an escalation of its own
	Water         []Yearly // water and sewer
	Maintenance   []Yearly
	MaintenanceAt []Dated // in given years
	Replacements  []Dated

	// Residual is a value at the end of the study in prices of the base date,
	// beside what the lives of parts leave; below zero if removal costs.
	Residual float64
}

// ReplacedAfterLife gives the replacements of a part each time its life is over,
// before the end of the study: at the end itself nothing is bought any more. None
// if it has no life.
func ReplacedAfterLife(part Dated, s Study) []Dated {
	if part.Life <= 0 {
		return nil
	}
	var all []Dated
	for year := part.Year + part.Life; year > 0 && year < min(s.Years, MostYears); year += part.Life {
		part.Year = year
		all = append(all, part)
	}
	return all
}
