package pipe

import "strings"

// largestNominalInches is the largest size of the tables of fittings. The
// nominal sizes in mm, which are written as whole numbers too, start above it,
// so a "15" is never taken for inches.
const largestNominalInches = 6

// NominalInches gives the number behind a nominal size in inches as a series
// writes it: 3/4 is 0.75, 1-1/4 is 1.25. It is false for every other text,
// among them nominal sizes in mm (15, 15x1) and DN, and for sizes over 6 in.
//
// It is ONLY for picking the row of a code table that goes by nominal size. A
// nominal size never stands in for a bore: 3/4 in type M copper has a bore of
// 0.811 in, and 3/4 in PEX one of 0.671 in.
func NominalInches(nominal string) (float64, bool) {
	whole, fraction, mixed := strings.Cut(nominal, "-")
	switch {
	case mixed:
		n, okWhole := digits(whole)
		part, okPart := fractionOfInch(fraction)
		return inReach(float64(n)+part, okWhole && okPart)
	case strings.Contains(nominal, "/"):
		return inReach(fractionOfInch(nominal))
	default:
		n, ok := digits(nominal)
		return inReach(float64(n), ok)
	}
}

func inReach(inches float64, ok bool) (float64, bool) {
	if !ok || inches > largestNominalInches {
		return 0, false
	}
	return inches, true
}

// fractionOfInch reads a proper fraction of halves, quarters, eighths or
// sixteenths, which a float64 holds exactly.
func fractionOfInch(text string) (float64, bool) {
	over, under, ok := strings.Cut(text, "/")
	if !ok {
		return 0, false
	}
	n, okN := digits(over)
	d, okD := digits(under)
	if !okN || !okD || n >= d {
		return 0, false
	}
	switch d {
	case 2, 4, 8, 16:
		return float64(n) / float64(d), true
	}
	return 0, false
}

// digits reads a number of one or two digits without a leading zero.
func digits(text string) (int, bool) {
	if len(text) == 0 || len(text) > 2 || text[0] == '0' {
		return 0, false
	}
	n := 0
	for i := range len(text) {
		c := text[i]
		if c < '0' || c > '9' {
			return 0, false
		}
		n = 10*n + int(c-'0')
	}
	return n, true
}
