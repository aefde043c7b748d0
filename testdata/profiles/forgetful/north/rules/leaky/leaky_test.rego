package test.north.leaky

import data.profiles.north.rules.leaky

test_scope if "a" in leaky.subjects with input as {"fixtures": [{"id": "a", "kind": "shower"}]}
