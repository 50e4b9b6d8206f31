package designfile

import (
	"strconv"

	"recirc/api/scan"
)

// branch is a value that was asked for, or one on the way to such a value.
type branch struct {
	at       Position // zero until it is found
	children map[string]*branch
}

// ask adds the way to a value.
func (b *branch) ask(way []string) {
	for _, name := range way {
		child := b.children[name]
		if child == nil {
			if b.children == nil {
				b.children = map[string]*branch{}
			}
			child = &branch{}
			b.children[name] = child
		}
		b = child
	}
}

// find walks a text once and notes where the branches stand. What lies between
// them is skipped.
func (b *branch) find(s *scan.Scanner, at *lines) {
	s.Kind() // skips the blanks before the value
	b.at = at.position(s.Offset())
	switch {
	case len(b.children) == 0:
		s.Skip()
	case s.OpenObject():
		for {
			name, ok := s.Member("")
			if !ok {
				return
			}
			b.step(name, s, at)
		}
	case s.OpenList():
		for i := 0; s.Item(); i++ {
			b.step(strconv.Itoa(i), s, at)
		}
	default:
		s.Skip()
	}
}

func (b *branch) step(name string, s *scan.Scanner, at *lines) {
	if child := b.children[name]; child != nil {
		child.find(s, at)
	} else {
		s.Skip()
	}
}

// nearest gives the position of the last value on a way that was found.
func (b *branch) nearest(way []string) Position {
	for _, name := range way {
		child := b.children[name]
		if child.at == (Position{}) {
			break
		}
		b = child
	}
	return b.at
}
