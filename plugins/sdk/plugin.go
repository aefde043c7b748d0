package sdk

import (
	"context"
	"fmt"
	"slices"
	"sync"
)

// Plugin is a started plugin as the host sees it: one or several measurers
// that are asked together.
type Plugin interface {
	// Describe lists the measurers, at least one.
	Describe(context.Context) ([]Description, error)
	// Measure answers for the quantities asked for, each by the measurer that
	// offers it. An error means that nothing can be had from this plugin.
	Measure(context.Context, Request) (Answers, error)
	// Close ends the plugin. It may be called more than once.
	Close() error
}

// Answers of all measurers of one plugin. Nothing in them is checked.
type Answers struct {
	Response
	Faults []Fault
}

// Fault tells that one measurer broke; it costs that one's quantities.
type Fault struct {
	Measurer string // its described name
	Text     string
}

// Local offers measurers without a process, for tests and benchmarks. What
// differs from Start is the wire alone. A measurer that hangs is left behind
// when the context ends.
func Local(m ...Measurer) Plugin { return local{party(m)} }

type local struct{ party }

func (l local) Measure(ctx context.Context, r Request) (Answers, error) {
	type outcome struct {
		answers Answers
		err     error
	}
	done := make(chan outcome, 1)
	go func() {
		a, err := l.party.Measure(ctx, r)
		done <- outcome{a, err}
	}()
	select {
	case o := <-done:
		return o.answers, o.err
	case <-ctx.Done():
		return Answers{}, fmt.Errorf("measure: %w", context.Cause(ctx))
	}
}

func (local) Close() error { return nil }

// party is several measurers that are offered as one.
type party []Measurer

// Describe lists all; one that cannot say what it is spoils the plugin, since
// nobody could tell what is lost.
func (p party) Describe(ctx context.Context) ([]Description, error) {
	list := make([]Description, 0, len(p))
	for _, m := range p {
		d, err := describe(ctx, m)
		if err != nil {
			return nil, err
		}
		list = append(list, d)
	}
	return list, nil
}

func describe(ctx context.Context, m Measurer) (d Description, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("describe: panic: %v", r)
		}
	}()
	return m.Describe(ctx)
}

// Measure asks each measurer for its own quantities, side by side.
func (p party) Measure(ctx context.Context, r Request) (Answers, error) {
	list, err := p.Describe(ctx)
	if err != nil {
		return Answers{}, err
	}
	responses, faults := make([]Response, len(p)), make([]error, len(p))
	var wait sync.WaitGroup
	for i, m := range p {
		own := r
		own.Quantities = asked(list[i], r.Quantities)
		if len(own.Quantities) > 0 {
			wait.Go(func() { responses[i], faults[i] = measure(ctx, m, own) })
		}
	}
	wait.Wait()
	return join(list, responses, faults), nil
}

func measure(ctx context.Context, m Measurer, r Request) (answer Response, err error) {
	defer func() {
		if p := recover(); p != nil {
			answer, err = Response{}, fmt.Errorf("panic: %v", p)
		}
	}()
	return m.Measure(ctx, r)
}

func asked(d Description, wanted []string) []string {
	var own []string
	for _, name := range wanted {
		offers := func(q Quantity) bool { return q.Name == name }
		if slices.ContainsFunc(d.Quantities, offers) {
			own = append(own, name)
		}
	}
	return own
}

func join(list []Description, responses []Response, faults []error) Answers {
	var all Answers
	if len(responses) == 1 && faults[0] == nil {
		all.Response = responses[0] // the usual case, without a copy
		return all
	}
	measurements, gaps := 0, 0
	for _, response := range responses {
		measurements, gaps = measurements+len(response.Measurements), gaps+len(response.Gaps)
	}
	all.Measurements, all.Gaps = make([]Measurement, 0, measurements), make([]Gap, 0, gaps)
	for i, response := range responses {
		if faults[i] != nil {
			all.Faults = append(all.Faults, Fault{list[i].Name, faults[i].Error()})
			continue
		}
		all.Measurements = append(all.Measurements, response.Measurements...)
		all.Gaps = append(all.Gaps, response.Gaps...)
	}
	return all
}
