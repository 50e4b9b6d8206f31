// Package scan reads the grammar of JSON (RFC 8259) and nothing of what a text
// means. It is strict: strings are UTF-8 and hold no lone surrogates, no object
// has a name twice, nothing is nested deeper than [MostDeep].
//
// The caller asks for what it expects and the scanner walks along; it keeps no
// tree and makes no token, and its texts are parts of the text that it reads.
package scan

// MostDeep is how many objects and lists may stand in each other.
const MostDeep = 10_000

// Scanner walks one JSON text. Asked for a kind of value where another one stands,
// it says no and stays where it is; the caller may skip what is there. After a
// fault of grammar it says no to everything.
type Scanner struct {
	text  string
	at    int      // of the byte to read next
	open  []level  // the objects and lists around it, from the outside in
	names []string // of the members begun in the open objects
	err   *SyntaxError
}

// level is one open object or list.
type level struct {
	list      bool
	begun     int                 // members or items
	names     int                 // how many names the levels around it have
	manyNames map[string]struct{} // in place of the names, once they are many
}

// New makes a scanner of a text.
func New(text string) *Scanner {
	return &Scanner{text: text, open: make([]level, 0, 8), names: make([]string, 0, 32)}
}

// Kind is the first byte of the value that stands here, '0' for every number;
// 0 if none does.
func (s *Scanner) Kind() byte {
	switch c := s.peek(); c {
	case '"', '{', '[', 't', 'f', 'n':
		return c
	case '-', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9':
		return '0'
	}
	return 0
}

// peek skips blanks and gives the next byte; 0 at the end of the text.
func (s *Scanner) peek() byte {
	for s.at < len(s.text) {
		c := s.text[s.at]
		if c > ' ' || c != ' ' && c != '\n' && c != '\t' && c != '\r' {
			return c
		}
		s.at++
	}
	return 0
}

// OpenObject steps into the object that stands here.
func (s *Scanner) OpenObject() bool { return s.step('{') }

// OpenList steps into the list that stands here.
func (s *Scanner) OpenList() bool { return s.step('[') }

func (s *Scanner) step(bracket byte) bool {
	switch {
	case s.err != nil || s.peek() != bracket:
		return false
	case len(s.open) == MostDeep:
		return s.failHere("objects and lists stand in each other more than %d deep", MostDeep)
	}
	s.at++
	s.open = append(s.open, level{list: bracket == '[', names: len(s.names)})
	return true
}

// Member steps to the value of the next member of the object and gives its name.
// It is false, and has left the object, if there is none. A caller that can guess
// the name is faster; a guess is of plain characters only, as [PlainEnd] means.
func (s *Scanner) Member(guess string) (name string, ok bool) {
	if s.err != nil {
		return "", false
	}
	l := &s.open[len(s.open)-1]
	start, guessed := s.guessed(l.begun > 0, guess)
	if name = guess; !guessed {
		if !s.another('}') {
			return "", false
		}
		if start = s.at; s.peek() != '"' { // which does not move: no blank stands here
			return "", s.failBetween(start, "the name of a member is needed")
		}
		if name, ok = s.string(len(s.open) - 1); !ok {
			return "", false
		}
	}
	repeated := s.repeats(l, name)
	s.names = append(s.names, name)
	l.begun++
	if repeated {
		return "", s.fail(start, len(s.open), "the object has this name twice")
	}
	if !guessed {
		if s.peek() != ':' {
			return "", s.failHere("a colon is needed behind a name")
		}
		s.at++
	}
	s.peek()
	return name, true
}

// guessed steps over a comma, unless it is the first member, a name and a colon,
// if just these stand here, as most programs write them: without blanks. It gives
// the start of the name.
func (s *Scanner) guessed(behind bool, name string) (start int, ok bool) {
	start = s.at
	if behind {
		start++
	}
	end := start + 1 + len(name)
	if end+1 >= len(s.text) || behind && s.text[s.at] != ',' || s.text[start] != '"' || s.text[end] != '"' || s.text[end+1] != ':' || s.text[start+1:end] != name {
		return 0, false
	}
	s.at = end + 2
	return start, true
}

// Item steps to the next item of the list. It is false, and has left the list,
// if there is none.
func (s *Scanner) Item() bool {
	if s.err != nil || !s.another(']') {
		return false
	}
	s.open[len(s.open)-1].begun++
	return true
}

// another steps over the comma in front of another member or item. It is false
// at the end of the object or list, which it leaves.
func (s *Scanner) another(closing byte) bool {
	first := s.open[len(s.open)-1].begun == 0
	c := s.peek()
	start := s.at
	switch {
	case c == closing:
		s.at++
		s.leave()
		return false
	case first && (c == ',' || c == ':'):
		return s.failBetween(start, "nothing stands before this")
	case first && s.at < len(s.text):
		return true
	case c != ',':
		return s.failBetween(start, "a comma or %q is needed", closing)
	}
	s.at++
	if c = s.peek(); c == '}' || c == ']' {
		return s.failBetween(start, "nothing stands behind this comma")
	}
	if s.at == len(s.text) {
		return s.failBetween(s.at, "")
	}
	return true
}

func (s *Scanner) leave() {
	last := len(s.open) - 1
	s.names = s.names[:s.open[last].names]
	s.open = s.open[:last]
}

// Offset is where the text goes on.
func (s *Scanner) Offset() int { return s.at }

// AtEnd reports that nothing but blanks is left.
func (s *Scanner) AtEnd() bool {
	s.peek()
	return s.at == len(s.text)
}
