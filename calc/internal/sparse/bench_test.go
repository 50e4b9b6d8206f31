package sparse

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

var sizes = []int{1000, 5000, 20000, 50000}

// BenchmarkLadder: analysis, and values with one solution, of ladders; and with
// which power of the size the time grows.
func BenchmarkLadder(b *testing.B) {
	for _, c := range []struct {
		name string
		run  func(*testing.B, matrix)
	}{{"analyse", analyse}, {"factorise and solve", factorise}} {
		var x, y []float64
		for _, n := range sizes {
			m := laplacian(comb(n/2, true), 2, rand.New(rand.NewPCG(1, 2)))
			b.Run(fmt.Sprintf("%s/%d", c.name, n), func(b *testing.B) {
				b.ReportAllocs()
				c.run(b, m)
				x, y = append(x, math.Log(float64(n))), append(y, math.Log(b.Elapsed().Seconds()/float64(b.N)))
			})
		}
		b.Run(c.name+"/exponent", func(b *testing.B) {
			for b.Loop() {
			}
			b.ReportMetric(slope(x, y), "exponent")
			b.ReportMetric(0, "ns/op")
		})
	}
}

func analyse(b *testing.B, m matrix) {
	fill := 0
	for b.Loop() {
		f, err := Analyse(m.n, m.pairs, 1<<24)
		if err != nil {
			b.Fatal(err)
		}
		fill = f.Fill()
	}
	b.ReportMetric(float64(fill), "fill")
}

func factorise(b *testing.B, m matrix) {
	f := analysed(b, m.network)
	x := make([]float64, m.n)
	for b.Loop() {
		if err := f.Factorise(m.diagonal, m.off); err != nil {
			b.Fatal(err)
		}
		x[0] = 1
		f.Solve(x)
	}
}

// slope is that of the line of least squares.
func slope(x, y []float64) float64 {
	var sx, sy, sxx, sxy float64
	for i := range x {
		sx, sy, sxx, sxy = sx+x[i], sy+y[i], sxx+x[i]*x[i], sxy+x[i]*y[i]
	}
	n := float64(len(x))
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}

// BenchmarkOtherShapes: hubs, which must not cost the square of their neighbours,
// and the graph that is refused.
func BenchmarkOtherShapes(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	many := hubs(1500) // just below what counts as dense
	for range 4 {
		many = beside(many, many)
	}
	many.name = "sixteen pairs of hubs"
	for _, g := range []network{tree(50000, r), star(50000), hubs(50000), many, grid(224), expander(50000, r)} {
		b.Run(g.name, func(b *testing.B) {
			b.ReportAllocs()
			fill := 0
			for b.Loop() {
				f, err := Analyse(g.n, g.pairs, 1<<22)
				if errors.Is(err, ErrFill) {
					continue
				}
				fill = f.Fill()
			}
			b.ReportMetric(float64(fill), "fill")
		})
	}
}
