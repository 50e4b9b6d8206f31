package answer_test

import (
	"bytes"
	"strings"
	"sync"
	"testing"

	"recirc/api/answer"
)

// TestRecycledBuffers writes answers of many sizes at once, each into what may
// be another's buffer.
func TestRecycledBuffers(t *testing.T) {
	var all sync.WaitGroup
	for worker := range 8 {
		all.Go(func() {
			for i := range 500 {
				size := (1 << (i % 18)) + worker
				text := strings.Repeat(string(rune('a'+worker)), size)
				var w answer.Writer
				w.Text("", "x")
				w.Grow(size / (1 + i%3)) // also too small a guess
				w.Text("", text)
				b, err := w.Bytes()
				if err != nil || !bytes.Equal(b, []byte(`"x","`+text+`"`)) {
					t.Errorf("%d bytes are written as %.40s", size, b)
				}
				answer.Recycle(b)
			}
		})
	}
	all.Wait()
	answer.Recycle(nil)
	answer.Recycle(make([]byte, 0, 64<<20)) // too large to keep
}

// TestGrowTakesWhatFits because a small answer must not hold a large buffer for
// as long as its caller reads.
func TestGrowTakesWhatFits(t *testing.T) {
	for range 100 {
		answer.Recycle(make([]byte, 0, 1<<20))
		var w answer.Writer
		w.Grow(1000)
		w.Text("", "")
		if b, _ := w.Bytes(); cap(b) < 1000 || cap(b) > 4000 {
			t.Fatalf("1000 bytes have a buffer of %d", cap(b))
		}
	}
}
