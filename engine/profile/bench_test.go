package profile

import (
	"context"
	"fmt"
	"testing"

	"fallrule/profiles"
)

// BenchmarkAsk asks one profile about layouts of growing size. Cost per subject
// must stay the same: see the collector on sets that grow subject by subject.
func BenchmarkAsk(b *testing.B) {
	in, err := inputFacts()
	if err != nil {
		b.Fatal(err)
	}
	for _, size := range []int{1, 100, 1000} {
		b.Run(fmt.Sprintf("%d of each kind", size), func(b *testing.B) {
			set, err := Load(context.Background(), profiles.FS, []string{"uk"}, catalogue(b))
			if err != nil {
				b.Fatal(err)
			}
			input := crowd(in, size)
			for b.Loop() {
				if _, err := set.Ask(context.Background(), input); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(size*len(in)), "µs/subject")
		})
	}
}

// crowd is a layout with n subjects of each kind whose facts run through their
// words.
func crowd(in facts, n int) map[string]any {
	out := map[string]any{}
	for kind, fields := range in {
		items := make([]any, n)
		for i := range items {
			item := map[string]any{}
			for field, enum := range fields {
				item[field] = "x"
				if enum != nil {
					item[field] = enum[i%len(enum)]
				}
			}
			item["id"] = fmt.Sprintf("%s%d", kind, i)
			items[i] = item
		}
		out[kind] = items
	}
	return out
}
