package quantity

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"fallrule/plugins/sdk/plan"
)

// maxBends is more than any run has; more is a slip.
const maxBends = 100

var times = regexp.MustCompile(`^([0-9]+) ?[xX*] ?(.+)$`)

// ParseBends reads how a corner or a run is bent and returns the angle of each
// bend in degrees: "3 x 90°", "2 x 45°", "87°", "2 x 45° + 1 x 87°", "none".
func ParseBends(text string) ([]plan.Reading, error) {
	tidied := tidy(text)
	if strings.EqualFold(tidied, None) {
		return nil, nil
	}
	if strings.EqualFold(tidied, Unknown) || tidied == "" {
		return nil, &Error{What: fmt.Sprintf("bends %q say no angle", text), Allowed: "3 x 90°, 87°, none"}
	}
	var angles []plan.Reading
	for _, part := range regexp.MustCompile(` \+ |, `).Split(tidied, -1) {
		n, each := 1, part
		if m := times.FindStringSubmatch(part); m != nil {
			count, err := strconv.Atoi(m[1])
			if err != nil || count < 1 || count > maxBends {
				return nil, &Error{What: fmt.Sprintf("%q: %s bends", text, m[1]), Allowed: fmt.Sprintf("1 to %d", maxBends)}
			}
			n, each = count, m[2]
		}
		q, err := Parse(each, Angle)
		if err != nil {
			return nil, err
		}
		if q.Word != "" || !(q.Reading.Value > 0 && q.Reading.Value <= 180) {
			return nil, &Error{What: fmt.Sprintf("%q: a bend turns by more than 0° and by 180° at most", text), Allowed: "3 x 90°, 87°"}
		}
		for range n {
			angles = append(angles, q.Reading)
		}
	}
	return angles, nil
}

var wholeNumber = regexp.MustCompile(`^[0-9]+$`)

// CommaSplit tells whether a list looks as if decimal commas had split its
// quantities: a bare whole number just before an item that begins with a digit
// and has a unit, as `[1,95 m, 2 m]` reads in YAML. It returns the list with
// the pieces joined by decimal points; "" when it does not look so.
func CommaSplit(items []string) string {
	var mended []string
	found := false
	for i := 0; i < len(items); i++ {
		item := strings.TrimSpace(items[i])
		if wholeNumber.MatchString(item) && i+1 < len(items) {
			next := strings.TrimSpace(items[i+1])
			if head := numberHead.FindString(next); head != "" && wholeNumber.MatchString(head) && head != next {
				mended = append(mended, item+"."+next)
				found = true
				i++
				continue
			}
		}
		mended = append(mended, item)
	}
	if !found {
		return ""
	}
	return "[" + strings.Join(mended, ", ") + "]"
}
