package partfull

import "math"

// Peak is the depth ratio at which a pipe carries most, and that flow (m³/s).
// Beyond it a fuller pipe carries less, so no depth is asked for there.
func (l Law) Peak(bore, slope float64) (ratio, flow float64) {
	low, high := angleOf(0.85), 2*math.Pi
	for range 60 {
		mid := (low + high) / 2
		if _, dq := l.flow(bore, slope, mid); dq > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	q, _ := l.flow(bore, slope, low)
	return ratioOf(low), q
}

// Depth is the depth ratio at which a pipe of a bore (m) and slope (m/m)
// carries a flow (m³/s). When the flow is more than the pipe can carry with a
// free surface, or the pipe does not fall, it runs full: ratio 1 and
// surcharged true.
func (l Law) Depth(bore, slope, flow float64) (ratio float64, surcharged bool) {
	if flow <= 0 {
		return 0, false
	}
	top, most := l.Peak(bore, slope)
	if bore <= 0 || slope <= 0 || flow > most {
		return 1, true
	}
	return ratioOf(l.solve(bore, slope, flow, angleOf(top))), false
}

// Carried is the depth ratio as Depth has it, and the mean velocity (m/s) by
// continuity: flow over wetted area, which for a pipe under pressure is the
// whole bore.
func (l Law) Carried(bore, slope, flow float64) (ratio, velocity float64, surcharged bool) {
	ratio, surcharged = l.Depth(bore, slope, flow)
	if area := SectionAt(bore, ratio).Area; area > 0 {
		velocity = flow / area
	}
	return ratio, velocity, surcharged
}

// solve finds the angle in (0, top] that carries the flow. Flow grows with the
// angle there, so the bracket always holds; a Newton step is taken when it
// stays inside, else the bracket is halved.
func (l Law) solve(bore, slope, flow, top float64) float64 {
	low, high := 0.0, top
	x := top / 2
	for range 200 {
		q, dq := l.flow(bore, slope, x)
		switch {
		case q == flow:
			return x
		case q < flow:
			low = x
		default:
			high = x
		}
		next := x - (q-flow)/dq
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-x) <= 1e-14*top {
			return next
		}
		x = next
	}
	return x
}
