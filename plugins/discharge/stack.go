package discharge

import (
	"fmt"
	"math"

	"fallrule/plugins/discharge/annular"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

const stackSource = "Wyly-Eaton, US National Bureau of Standards (from memory; its capacities read in National Standard Plumbing Code 2006, table 13.6.1)"

func stackBore(x plan.Stack) (plan.Reading, *sdk.Gap) {
	path := "stacks." + x.ID + ".size"
	bore, gap := sizes.Bore(x.Size, path, "the bore of stack "+x.ID)
	if gap == nil && bore.Value <= 0 {
		gap = reply.NotRead(path, "the bore of stack "+x.ID+" must be more than nothing")
	}
	return bore, gap
}

// stackFlow is what a stack carries at a share of its section.
func stackFlow(share float64, called string) reply.Each[*site] {
	return reply.Stacks(func(_ *site, x plan.Stack) reply.Answer {
		bore, gap := stackBore(x)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		band := sdk.Band{Low: annular.Flow(bore.Low, share), Value: annular.Flow(bore.Value, share), High: annular.Flow(bore.High, share)}
		return reply.Band(band, func() sdk.Working {
			return sdk.Working{
				Formula: "flow = 27.8 r^(5/3) D^(8/3) in US gallons a minute and inches, r " + called,
				Numbers: fmt.Sprintf("bore %s = %.3f in: %s", reply.Value(bore.Value, "mm"), bore.Value/25.4, reply.Range(band, "l/s")),
				Source:  stackSource,
			}
		})
	})
}

// stackFilling grows with the flow and shrinks with the bore.
func stackFilling(s *site, x plan.Stack) reply.Answer {
	bore, gap := stackBore(x)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	flow, gap := s.systemFlow(load{"stacks." + x.ID, x.Serves})
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	share := func(q, d float64) float64 {
		if math.IsInf(d, 1) {
			return 0
		}
		return annular.Share(d, q*1000)
	}
	band := sdk.Band{Low: share(flow.Low, bore.High), Value: share(flow.Value, bore.Value), High: share(flow.High, bore.Low)}
	return reply.Band(band, func() sdk.Working {
		v, run := annular.Terminal(bore.Value, flow.Value*1000)
		return sdk.Working{
			Formula: "r = (flow / (27.8 D^(8/3)))^(3/5), flow in US gallons a minute, D in inches",
			Numbers: fmt.Sprintf("flow %s, bore %s: r %s; film %s thick, terminal speed %s within %s", reply.Value(flow.Value*1000, "l/s"), reply.Value(bore.Value, "mm"),
				reply.Range(band, "1"), reply.Value(annular.Film(bore.Value, band.Value), "mm"), reply.Value(v, "m/s"), reply.Value(run*1000, "mm")),
			Source: stackSource,
		}
	})
}
