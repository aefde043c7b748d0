package test.north.eager

import data.profiles.north.rules.eager

test_scope if "a" in eager.subjects with input as {"fixtures": [{"id": "a", "pumped": "pumped"}]}
