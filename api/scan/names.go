package scan

import "slices"

// fewNames is up to where looking through all names is the fastest way.
const fewNames = 16

// repeats reports that an object has had a member of this name.
func (s *Scanner) repeats(l *level, name string) bool {
	if l.begun >= fewNames {
		return s.repeatsOneOfMany(l, name)
	}
	return slices.Contains(s.names[l.names:], name)
}

func (s *Scanner) repeatsOneOfMany(l *level, name string) bool {
	if l.manyNames == nil {
		l.manyNames = make(map[string]struct{}, 2*fewNames)
		for _, other := range s.names[l.names:] {
			l.manyNames[other] = struct{}{}
		}
	}
	before := len(l.manyNames)
	l.manyNames[name] = struct{}{}
	return len(l.manyNames) == before
}
