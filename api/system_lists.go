package api

import (
	"sync"

	"recirc/calc/network"
)

// systemLists is the room for the pipes and fixtures of one system. They are
// most of what a request allocates, and as many wait for the next request as
// calculations run at once.
type systemLists struct {
	pipes    []network.Pipe
	fixtures []network.Fixture
}

var usedLists = sync.Pool{New: func() any { return new(systemLists) }}

// mostListed is how many pipes or fixtures are kept room for: those of a large
// building, 5 MB.
const mostListed = 1 << 14

// begin gives a system to read its limits, and lists with room.
func (q *question) begin(s *systemDocument) {
	s.most = q.limits.MostPipes
	q.system, q.lists = s, usedLists.Get().(*systemLists)
	s.Pipes, s.Fixtures = q.lists.pipes, q.lists.fixtures
}

// end takes the lists back once the answer is written. They are cleared: nothing
// of a request is seen by, or held for, the next one.
func (q *question) end() {
	if q.lists == nil {
		return
	}
	q.lists.pipes, q.lists.fixtures = emptied(q.system.Pipes), emptied(q.system.Fixtures)
	usedLists.Put(q.lists)
	q.system, q.lists = nil, nil
}

func emptied[T any](list []T) []T {
	if cap(list) > mostListed {
		return nil
	}
	clear(list)
	return list[:0]
}
