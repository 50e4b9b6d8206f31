package scan

import (
	"math/bits"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Text reads the string that stands here.
func (s *Scanner) Text() (text string, ok bool) {
	if s.err != nil || s.peek() != '"' {
		return "", false
	}
	return s.string(len(s.open))
}

// string reads a string whose quotation mark stands here, at a depth as fail
// takes it.
func (s *Scanner) string(depth int) (text string, ok bool) {
	start := s.at + 1
	end := PlainEnd(s.text, start)
	if end < len(s.text) && s.text[end] == '"' {
		s.at = end + 1
		return s.text[start:end], true
	}
	return s.lessPlainString(start, end, depth)
}

// PlainEnd gives where the first byte from at on stands that is no plain
// character of a string: a quotation mark, a backslash, a control character or
// part of a character beyond ASCII; the length of the text if there is none. It
// looks at eight bytes at a time.
func PlainEnd(text string, at int) int {
	const each, high = 0x0101010101010101, 0x8080808080808080
	for ; at+8 <= len(text); at += 8 {
		// A byte of these has its high bit set if the text's is 0x80 or more,
		// a quotation mark, a backslash or below a space. A borrow may set
		// others too, but only behind the first.
		w := eightBytes(text, at)
		quote, backslash := w^(each*'"'), w^(each*'\\')
		found := (w | (quote-each)&^quote | (backslash-each)&^backslash | (w-each*' ')&^w) & high
		if found != 0 {
			return at + bits.TrailingZeros64(found)/8
		}
	}
	for at < len(text) && text[at] >= ' ' && text[at] < utf8.RuneSelf && text[at] != '"' && text[at] != '\\' {
		at++
	}
	return at
}

func eightBytes(text string, at int) uint64 {
	t := text[at : at+8]
	return uint64(t[0]) | uint64(t[1])<<8 | uint64(t[2])<<16 | uint64(t[3])<<24 |
		uint64(t[4])<<32 | uint64(t[5])<<40 | uint64(t[6])<<48 | uint64(t[7])<<56
}

// lessPlainString goes on with a string at its first byte that is not plain.
func (s *Scanner) lessPlainString(start, at, depth int) (text string, ok bool) {
	escaped := false
	for ; at < len(s.text); at = PlainEnd(s.text, at) {
		switch c := s.text[at]; {
		case c == '"':
			s.at = at + 1
			if escaped {
				return unescaped(s.text[start:at]), true
			}
			return s.text[start:at], true
		case c == '\\':
			escaped = true
			_, size := escape(s.text[at:])
			if size == 0 {
				return "", s.fail(at, depth, "this is no escape in a string")
			}
			at += size
		case c < ' ':
			return "", s.fail(at, depth, "a control character stands in a string")
		default:
			r, size := utf8.DecodeRuneInString(s.text[at:])
			if r == utf8.RuneError && size == 1 {
				return "", s.fail(at, depth, "a string is not UTF-8")
			}
			at += size
		}
	}
	return "", s.fail(len(s.text), depth, "")
}

// escape reads the escape that a text begins with; size 0 if it is none. A
// surrogate counts with its other half only.
func escape(text string) (r rune, size int) {
	if len(text) < 2 {
		return 0, 0
	}
	switch c := text[1]; c {
	case '"', '\\', '/':
		return rune(c), 2
	case 'b':
		return '\b', 2
	case 'f':
		return '\f', 2
	case 'n':
		return '\n', 2
	case 'r':
		return '\r', 2
	case 't':
		return '\t', 2
	}
	r, ok := fourDigits(text)
	switch {
	case !ok:
		return 0, 0
	case !utf16.IsSurrogate(r):
		return r, 6
	}
	low, ok := fourDigits(text[6:])
	if r = utf16.DecodeRune(r, low); !ok || r == utf8.RuneError {
		return 0, 0
	}
	return r, 12
}

// fourDigits reads \u and four hexadecimal digits.
func fourDigits(text string) (r rune, ok bool) {
	if len(text) < 6 || text[0] != '\\' || text[1] != 'u' {
		return 0, false
	}
	for i := 2; i < 6; i++ {
		c := rune(text[i])
		switch {
		case c >= '0' && c <= '9':
			r = r<<4 | (c - '0')
		case c|' ' >= 'a' && c|' ' <= 'f':
			r = r<<4 | (c | ' ' - 'a' + 10)
		default:
			return 0, false
		}
	}
	return r, true
}

// unescaped gives the characters of a string that is known to be well formed.
func unescaped(text string) string {
	b := make([]byte, 0, len(text))
	for {
		i := strings.IndexByte(text, '\\')
		if i < 0 {
			return string(append(b, text...))
		}
		r, size := escape(text[i:])
		b = utf8.AppendRune(append(b, text[:i]...), r)
		text = text[i+size:]
	}
}
