package test.lib.collect

limit(most) := {"limits": [{"need": {"length": {"at_most": most}}, "basis": "read"}]}

# Three invented profiles: each extends the one before.
profiles := {
	"north": {
		"header": {"title": "North"},
		"rules": {
			"waste": {"header": {"of": "branches"}, "table": limit("2 m")},
			"drain": {"header": {"of": "drains"}, "table": limit("9 m")},
			"by_hand": {
				"subjects": {"a", "b"},
				"requirements": {{"of": "a", "any": []}},
				"unclear": {{"of": "b", "why": "so"}},
			},
		},
	},
	"village": {
		"header": {"title": "Village", "extends": "north", "drops": {"drain": "clause 1"}},
		"rules": {"short": {"header": {"of": "branches"}, "table": limit("1 m")}},
	},
	"street": {"header": {"title": "Street", "extends": "village", "drops": {"short": "clause 2"}}},
}

layout := {"branches": [{"id": "a"}, {"id": "b"}], "drains": [{"id": "d"}]}

asked := answer if {
	answer := data.fallrule.asked with input as layout with data.profiles as profiles
}

names(profile) := {name |
	some origin, rules in asked[profile]
	some rule, _ in rules
	name := concat("/", [origin, rule])
}

test_own_rules if names("north") == {"north/waste", "north/drain", "north/by_hand"}

test_a_heir_has_its_parents_rules_less_those_it_drops if {
	names("village") == {"north/waste", "north/by_hand", "village/short"}
}

test_what_a_parent_dropped_stays_dropped if {
	names("street") == {"north/waste", "north/by_hand"}
}

test_inherited_rules_say_the_same if {
	asked.street.north.waste == asked.north.north.waste
}

test_a_table_is_asked_about_its_own_list if {
	asked.north.north.waste.subjects == {"a", "b"}
	asked.north.north.drain.subjects == {"d"}
}

test_a_rule_in_rego_gives_its_sets if {
	asked.north.north.by_hand == {
		"subjects": {"a", "b"},
		"requirements": {{"of": "a", "any": []}},
		"exempt": set(),
		"unclear": {{"of": "b", "why": "so"}},
	}
}
