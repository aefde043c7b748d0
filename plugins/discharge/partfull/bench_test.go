package partfull

import (
	"testing"
	"time"
)

// pipesTried are flows at depths of 0.1 to 0.9 over bores and falls of a house.
func pipesTried() (pipes [][3]float64) {
	for _, bore := range []float64{0.034, 0.044, 0.068, 0.096, 0.115, 0.146} {
		for _, slope := range []float64{0.005, 0.01, 0.02, 0.05, 0.1} {
			for ratio := 0.1; ratio < 0.91; ratio += 0.05 {
				pipes = append(pipes, [3]float64{bore, slope, AnnexB.Flow(bore, slope, ratio)})
			}
		}
	}
	return pipes
}

// halvedDepth is a fair bisection: the law without derivatives, halved until
// the depth is known to 1e-9 of the bore.
func halvedDepth(bore, slope, flow float64) float64 {
	low, high := 0.0, 0.93*bore
	for high-low > 1e-9*bore {
		if mid := (low + high) / 2; plainFlow(bore, slope, mid) < flow {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2 / bore
}

var sink float64

// BenchmarkDepth tells how many pipes a second one core works out, and how many
// times as fast that is as a bisection to 1e-9.
func BenchmarkDepth(b *testing.B) {
	pipes := pipesTried()
	begin := time.Now()
	const rounds = 20
	for range rounds {
		for _, p := range pipes {
			sink += halvedDepth(p[0], p[1], p[2])
		}
	}
	bisection := time.Since(begin).Seconds() / float64(rounds*len(pipes))
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		p := &pipes[n%len(pipes)]
		ratio, _ := AnnexB.Depth(p[0], p[1], p[2])
		sink += ratio
		n++
	}
	each := b.Elapsed().Seconds() / float64(n)
	b.ReportMetric(1/each, "pipes/s")
	b.ReportMetric(bisection/each, "x-bisection")
}
