package engine

import (
	"fmt"
	"slices"

	"fallrule/engine/layout"
	"fallrule/engine/profile"
)

// Role is how a profile takes part in a check. Only one that binds makes the
// headline and the exit code.
type Role struct {
	Profile string
	Binding bool
	Why     string
	SHA256  string // of the profile's files
}

// askedFor is why a profile binds that was named.
const askedFor = "asked for"

// Choose says which profiles take part. Named ones bind; without any, the one
// of the house's country does. The owner's home code and those named to stand
// beside are compared only: the strictest of a foreign code governs nothing.
func Choose(lay *layout.Layout, heads map[string]profile.Header, named, beside []string) ([]Role, error) {
	house := lay.Plan.House
	var roles []Role
	for _, id := range named {
		roles = add(roles, Role{Profile: id, Binding: true, Why: askedFor})
	}
	if len(named) == 0 {
		id, found := byCountry(heads, house.Country)
		if !found {
			return nil, fmt.Errorf("no profile here binds a house in %q; name one with --profile (there are %v)", house.Country, ids(heads))
		}
		roles = add(roles, Role{Profile: id, Binding: true, Why: "the house stands in " + country(house.Country)})
		if home, found := byCountry(heads, house.Home); found {
			roles = add(roles, Role{Profile: home, Binding: false, Why: "the habit of the owner's home"})
		}
	}
	for _, id := range beside {
		roles = add(roles, Role{Profile: id, Binding: false, Why: "asked for beside"})
	}
	return roles, nil
}

// uncompared says that the owner's home has no profile, or nothing: silence
// would pass for a comparison without a difference.
func (e *Engine) uncompared(home string) string {
	if home == "" || home == "unknown" || home == "none" {
		return ""
	}
	for _, r := range e.Roles {
		if r.Why == askedFor || slices.Contains(e.Profiles.Profile(r.Profile).Header.Countries, home) {
			return ""
		}
	}
	return fmt.Sprintf("home: there is no profile of %s; nothing is compared with it", country(home))
}

func add(roles []Role, r Role) []Role {
	if slices.ContainsFunc(roles, func(o Role) bool { return o.Profile == r.Profile }) {
		return roles
	}
	return append(roles, r)
}

func byCountry(heads map[string]profile.Header, code string) (string, bool) {
	if code == "" {
		return "", false
	}
	for _, id := range ids(heads) {
		if slices.Contains(heads[id].Countries, code) {
			return id, true
		}
	}
	return "", false
}

func ids(heads map[string]profile.Header) []string {
	var out []string
	for id := range heads {
		out = append(out, id)
	}
	slices.Sort(out)
	return out
}

// country writes a code as people do.
func country(code string) string {
	names := map[string]string{"gb": "Great Britain", "es": "Spain", "fr": "France", "de": "Germany", "ie": "Ireland", "it": "Italy", "us": "the United States", "ca": "Canada", "pt": "Portugal"}
	if name, known := names[code]; known {
		return name
	}
	return code
}
