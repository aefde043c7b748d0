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
	if bore <= 0 || slope <= 0 {
		return 1, true
	}
	// Flow still grows at ordinary: what is less needs no search for the peak.
	if q, dq := l.flow(bore, slope, ordinary); dq > 0 && flow <= q {
		return ratioOf(l.solve(bore, slope, flow, startingAngle(flow/q), ordinary)), false
	}
	top, most := l.Peak(bore, slope)
	if flow > most {
		return 1, true
	}
	angle := angleOf(top)
	return ratioOf(l.solve(bore, slope, flow, (ordinary+angle)/2, angle)), false
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

// closeEnough is the last Newton step (rad) after which no other is needed:
// what is left is its square times the curve's bend, far below 1e-12 rad but
// next to the peak.
const closeEnough = 1e-8

// solve finds the angle in (0, top] that carries the flow, from a first guess.
// Flow grows with the angle there, so the bracket always holds; a Newton step is
// taken when it stays inside, else the bracket is halved.
func (l Law) solve(bore, slope, flow, guess, top float64) float64 {
	low, high, x := 0.0, top, guess
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
		if math.Abs(next-x) <= closeEnough*x {
			return min(next, top)
		}
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		x = next
	}
	return x
}

// ordinary is the angle at a depth ratio of 0.92, short of the peak of every
// drain. Its sine need not be known, only that flow grows up to there.
var ordinary = angleOf(0.92)

// steps of the table of first guesses.
const steps = 64

// guesses are the angles at which a pipe of constant roughness coefficient
// carries (i/steps)⁴ of what it does at ordinary: along the fourth root of the
// flow the angle is nearly straight.
var guesses = func() (table [steps + 2]float64) {
	carried := func(angle float64) float64 { // area x hydraulic radius^(2/3)
		return math.Pow(lessSine(angle, math.Sin(angle)), 5.0/3) / math.Pow(angle, 2.0/3)
	}
	full := carried(ordinary)
	for i := 1; i <= steps; i++ {
		want := full * math.Pow(float64(i)/steps, 4)
		low, high := 0.0, ordinary
		for range 40 {
			if mid := (low + high) / 2; carried(mid) < want {
				low = mid
			} else {
				high = mid
			}
		}
		table[i] = high
	}
	table[steps+1] = ordinary // so that a part of 1 has a neighbour
	return table
}()

// startingAngle for a part (0 to 1] of the flow at ordinary.
func startingAngle(part float64) float64 {
	at := steps * math.Sqrt(math.Sqrt(part))
	i := int(at)
	return guesses[i] + (at-float64(i))*(guesses[i+1]-guesses[i])
}
