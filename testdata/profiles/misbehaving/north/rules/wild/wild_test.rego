package test.north.wild

import data.profiles.north.rules.wild

test_it_speaks_of_all if "sound" in wild.subjects with input as {"fixtures": [{"id": "sound"}]}
