package scan

import "strconv"

// Number reads the number that stands here, to the nearest float64, which is
// infinite for a number that none can hold. It gives the digits as they stand.
func (s *Scanner) Number() (x float64, digits string, ok bool) {
	if c := s.peek(); s.err != nil || c != '-' && c-'0' > 9 {
		return 0, "", false
	}
	n := number{text: s.text, start: s.at, at: s.at}
	if !n.read() {
		if n.at == len(s.text) {
			n.at = n.start
		}
		return 0, "", s.fail(n.at, len(s.open), "a digit is needed in a number")
	}
	s.at = n.at
	return n.value(), s.text[n.start:n.at], true
}

// number is one being read: mantissa times ten to the power exponent, as far as
// these are small; many says that they are not.
type number struct {
	text      string
	start, at int
	negative  bool
	mantissa  uint64
	exponent  int
	many      bool
}

// read follows the grammar; it is false at the byte that breaks it.
func (n *number) read() bool {
	if n.is('-') {
		n.negative = true
	}
	if n.is('0') {
		// a zero stands alone before the point
	} else if n.digits() == 0 {
		return false
	}
	if n.is('.') {
		places := n.digits()
		if places == 0 {
			return false
		}
		n.exponent = -places
	}
	if n.is('e') || n.is('E') {
		return n.power()
	}
	return true
}

// is steps over a byte, if it stands here.
func (n *number) is(c byte) bool {
	if n.at < len(n.text) && n.text[n.at] == c {
		n.at++
		return true
	}
	return false
}

// digits adds what digits stand here to the mantissa and counts them.
func (n *number) digits() int {
	start := n.at
	for n.at < len(n.text) && n.text[n.at]-'0' <= 9 {
		n.mantissa = 10*n.mantissa + uint64(n.text[n.at]-'0')
		n.at++
	}
	// 18 digits fit: more of the text than of the mantissa, which is as safe.
	n.many = n.many || n.at-n.start > 18
	return n.at - start
}

// power reads an exponent behind its letter.
func (n *number) power() bool {
	sign := 1
	if n.is('-') {
		sign = -1
	} else {
		n.is('+')
	}
	start, power := n.at, 0
	for n.at < len(n.text) && n.text[n.at]-'0' <= 9 {
		power = min(10*power+int(n.text[n.at]-'0'), 10_000)
		n.at++
	}
	n.exponent += sign * power
	return n.at > start
}

// value is the nearest float64. A whole number below 2^53 and a power of ten up
// to 10^22 are float64s themselves, so that their product or quotient is rounded
// once and is the nearest; all others are the library's.
func (n *number) value() float64 {
	if n.many || n.mantissa >= 1<<53 || n.exponent < -22 || n.exponent > 22 {
		x, _ := strconv.ParseFloat(n.text[n.start:n.at], 64)
		return x
	}
	x := float64(n.mantissa)
	if n.negative {
		x = -x
	}
	if n.exponent < 0 {
		return x / powersOfTen[-n.exponent]
	}
	return x * powersOfTen[n.exponent]
}

var powersOfTen = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// Null reads null.
func (s *Scanner) Null() bool { return s.word("null") }

// Bool reads true or false.
func (s *Scanner) Bool() (yes, ok bool) {
	yes = s.word("true")
	return yes, yes || s.word("false")
}

func (s *Scanner) word(word string) bool {
	if s.err != nil || s.peek() != word[0] {
		return false
	}
	for i := range len(word) {
		if s.at+i == len(s.text) || s.text[s.at+i] != word[i] {
			return s.fail(s.at+i, len(s.open), "%s is needed here", word)
		}
	}
	s.at += len(word)
	return true
}
