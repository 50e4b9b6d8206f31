package answer

import (
	"math/bits"
	"sync"
)

// mostKept is the size of the largest buffers that wait for another answer,
// as a power of two: 8 MiB, for the 4 MB of a large building. What is larger is
// rare and would be held for nothing.
const mostKept = 23

// buffers are those of answers that were sent, by size as a power of two, so
// that no small answer holds a large one while a slow caller reads. A new buffer
// has to be cleared before it is written and collected soon after.
var buffers [mostKept + 1]sync.Pool

// Grow makes room for an answer of about so many bytes.
func (w *Writer) Grow(bytes int) {
	size := bits.Len(uint(len(w.b) + bytes))
	if size > mostKept {
		w.b = append(make([]byte, 0, len(w.b)+bytes), w.b...)
		return
	}
	used, ok := buffers[size].Get().(*[]byte)
	if !ok {
		fresh := make([]byte, 0, 1<<size)
		used = &fresh
	}
	w.b = append((*used)[:0], w.b...)
}

// Recycle gives the bytes of an answer that was sent to the next ones. Nothing
// may read them any more.
func Recycle(b []byte) {
	if size := bits.Len(uint(cap(b))) - 1; size >= 0 && size <= mostKept {
		buffers[size].Put(&b)
	}
}
