package nearest

import "testing"

func TestWord(t *testing.T) {
	keys := []string{"width", "depth", "weir", "size"}
	for word, want := range map[string]string{
		"widht": "width", "Depth": "depth", "wier": "weir", "siz": "size",
		"length": "", "x": "", "": "",
	} {
		if got := Word(word, keys); got != want {
			t.Errorf("nearest to %q: got %q, want %q", word, got, want)
		}
	}
}
