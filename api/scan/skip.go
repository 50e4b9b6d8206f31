package scan

// Skip steps over the value that stands here, whatever it is.
func (s *Scanner) Skip() bool {
	for depth := len(s.open); s.begin(); {
		for len(s.open) > depth && !s.next() && s.err == nil {
		}
		if len(s.open) == depth {
			break
		}
	}
	return s.err == nil
}

// begin reads a value, of an object or list its bracket only.
func (s *Scanner) begin() (ok bool) {
	switch s.Kind() {
	case '{':
		return s.OpenObject()
	case '[':
		return s.OpenList()
	case '"':
		_, ok = s.Text()
	case '0':
		_, _, ok = s.Number()
	case 'n':
		ok = s.Null()
	case 't', 'f':
		_, ok = s.Bool()
	default:
		ok = s.failHere("a value is needed here")
	}
	return ok
}

// next steps to the next value at this level.
func (s *Scanner) next() bool {
	if s.open[len(s.open)-1].list {
		return s.Item()
	}
	_, ok := s.Member("")
	return ok
}
