package profile

import (
	"context"
	"errors"
	"flag"
	"os"
	"path"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write what Load says into the want.txt files")

// Each folder of testdata/profiles with a want.txt changes the sound profiles in
// one place; want.txt is all that Load must say of it.
func TestLoadRefuses(t *testing.T) {
	root := path.Join("..", "..", "testdata", "profiles")
	items, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, item := range items {
		if slices.Contains([]string{"sound", "misbehaving", "forgetful"}, item.Name()) {
			continue
		}
		tried++
		t.Run(item.Name(), func(t *testing.T) {
			_, err := Load(context.Background(), withLib(t, item.Name()), []string{"village", "north"}, catalogue(t))
			if err == nil {
				t.Fatal("loads")
			}
			var faults Faults
			if !errors.As(err, &faults) {
				t.Fatalf("%T instead of Faults: %v", err, err)
			}
			file := path.Join(root, item.Name(), "want.txt")
			if *update {
				if err := os.WriteFile(file, []byte(err.Error()+"\n"), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, readErr := os.ReadFile(file)
			if readErr != nil {
				t.Fatal(readErr)
			}
			if got := err.Error() + "\n"; got != string(want) {
				t.Errorf("says\n%swant\n%s", got, want)
			}
		})
	}
	const least = 70
	if tried < least {
		t.Errorf("tried %d faults, should try %d", tried, least)
	}
}

func TestLoadOfAProfileThatIsNotThere(t *testing.T) {
	for id, want := range map[string]string{
		"south":    "south: there is no such profile",
		"lib":      "lib: a profile's id must be lower-case letters, figures and underscores",
		"../north": "../north: a profile's id must be lower-case letters, figures and underscores",
	} {
		_, err := Load(context.Background(), withLib(t, "sound"), []string{id}, catalogue(t))
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s: %v, want %s", id, err, want)
		}
	}
}
