package profiles.north.rules.stack_outlet

import data.profiles.north.rules.stack_outlet

test_unknown_stays_in_scope if {
	stack_outlet.subjects == {"a", "b"} with input as {"stacks": [
		{"id": "a", "carries": "unknown"},
		{"id": "b", "carries": "wc"},
		{"id": "c", "carries": "waste"},
	]}
}
