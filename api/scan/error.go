package scan

import (
	"fmt"
	"strconv"
	"strings"
)

// SyntaxError is the place where a text stops being JSON.
type SyntaxError struct {
	Offset  int    // of the byte, the length of the text if it ends too early
	Pointer string // JSON Pointer (RFC 6901) to the value that it is in
	Reason  string // what is wrong, a part of a sentence
}

func (e *SyntaxError) Error() string {
	return fmt.Sprintf("byte %d, in %q: %s", e.Offset, e.Pointer, e.Reason)
}

// Err is where the text stops being JSON; nil if it has not so far.
func (s *Scanner) Err() *SyntaxError { return s.err }

// fail notes the first fault of grammar, in the value at a depth: that many
// objects and lists are around it. It gives false.
func (s *Scanner) fail(at, depth int, reason string, args ...any) bool {
	if s.err == nil {
		if at == len(s.text) {
			reason, args = "the text ends too early", nil
		}
		s.err = &SyntaxError{Offset: at, Pointer: s.pointer(depth), Reason: fmt.Sprintf(reason, args...)}
	}
	return false
}

// failHere notes a fault in the member or item just begun.
func (s *Scanner) failHere(reason string, args ...any) bool {
	return s.fail(s.at, len(s.open), reason, args...)
}

// failBetween notes a fault between the members or items of an object or list.
func (s *Scanner) failBetween(at int, reason string, args ...any) bool {
	return s.fail(at, len(s.open)-1, reason, args...)
}

// Pointer is the place of the value read last.
func (s *Scanner) Pointer() string { return s.pointer(len(s.open)) }

// pointer names the member or item begun last in each of the outer levels.
func (s *Scanner) pointer(levels int) string {
	var b []byte
	for i, l := range s.open[:levels] {
		switch {
		case l.begun == 0:
		case l.list:
			b = strconv.AppendInt(append(b, '/'), int64(l.begun-1), 10)
		default:
			end := len(s.names)
			if i+1 < len(s.open) {
				end = s.open[i+1].names
			}
			b = append(append(b, '/'), escapes.Replace(s.names[end-1])...)
		}
	}
	return string(b)
}

var escapes = strings.NewReplacer("~", "~0", "/", "~1")
