package test.lib.table

import data.lib.table

# An invented table: the words are those of the input, the limits nobody's.
rules := {
	"where": {"serves": ["washbasin", "bidet"], "shared": ["one"]},
	"exempt": [{"when": {"to": ["trap_box"]}, "why": "the box is asked"}],
	"unclear": [{"when": {"place": ["hung"]}, "why": "the inspector looks", "by": "authority"}],
	"limits": [
		{"for": {"serves": ["washbasin"]}, "need": {"length": {"at_most": "2 m"}}, "basis": "read"},
		{"for": {"serves": ["washbasin"]}, "need": {"vented_by": {"one_of": ["valve"]}}, "basis": "memory"},
	],
}

basin := {"id": "a", "serves": "washbasin", "shared": "one", "to": "stack", "place": "heated"}

only(change) := table.asked([object.union(basin, change)], rules)

# What a table says of one subject, by the set it is in.
fate(asked) := {set | some set in ["requirements", "exempt", "unclear"]; some _ in asked[set]}

test_rows_that_fit_are_the_requirement if {
	only({}) == {
		"subjects": {"a"},
		"requirements": {{"of": "a", "any": [
			{"need": {"length": {"at_most": "2 m"}}, "basis": "read"},
			{"need": {"vented_by": {"one_of": ["valve"]}}, "basis": "memory"},
		]}},
		"exempt": set(),
		"unclear": set(),
	}
}

test_no_row_is_silence_for_the_engine_to_report if {
	asked := only({"serves": "bidet"})
	asked.subjects == {"a"}
	fate(asked) == set()
}

test_a_fact_that_is_known_rules_out if {
	every change in [{"serves": "bath"}, {"shared": "several"}] {
		asked := only(change)
		asked.subjects == set()
		fate(asked) == set()
	}
}

test_exempt if {
	only({"to": "trap_box"}).exempt == {{"of": "a", "why": "the box is asked"}}
	fate(only({"to": "trap_box"})) == {"exempt"}
}

test_authority if {
	asked := only({"place": "hung"})
	fate(asked) == {"unclear"}
	asked.unclear == {{"of": "a", "why": "the inspector looks", "by": "authority", "because": "authority"}}
}

test_an_exemption_comes_before_a_judgement if {
	fate(only({"place": "hung", "to": "trap_box"})) == {"exempt"}
}

# Whatever is forgotten, the subject stays and gets no requirement.
test_unknown_stays_in_scope_and_is_unclear if {
	every field in ["serves", "shared", "to", "place"] {
		asked := only({field: "unknown"})
		asked.subjects == {"a"}
		fate(asked) == {"unclear"}
		some reason in asked.unclear
		reason.because == "not_asked"
		reason.needs == {field}
	}
}

test_a_missing_fact_is_unknown if {
	asked := table.asked([object.remove(basin, ["serves"])], rules)
	asked.subjects == {"a"}
	fate(asked) == {"unclear"}
}

test_all_open_facts_are_named if {
	some reason in only({"serves": "unknown", "place": "unknown"}).unclear
	reason.needs == {"serves", "place"}
	contains(reason.why, "place and serves")
}

# What another, known fact has ruled out asks nothing of the unknown one.
test_an_unknown_fact_that_decides_nothing_is_not_asked if {
	open := {"limits": [
		{"for": {"serves": ["bath"], "place": ["outside"]}, "need": {"length": {"at_most": "1 m"}}, "basis": "read"},
		{"need": {"length": {"at_most": "2 m"}}, "basis": "read"},
	]}
	asked := table.asked([object.union(basin, {"place": "unknown"})], open)
	fate(asked) == {"requirements"}
}

test_unknown_may_be_a_word_of_the_rule if {
	listed := {"where": {"place": ["outside", "unknown"]}, "limits": [{"need": {"length": {"at_most": "1 m"}}, "basis": "read"}]}
	fate(table.asked([object.union(basin, {"place": "unknown"})], listed)) == {"requirements"}
	table.asked([basin], listed).subjects == set()
}

test_a_table_may_leave_all_to_the_authority if {
	asked := table.asked([basin], {"unclear": [{"why": "as far as practicable", "by": "authority"}]})
	fate(asked) == {"unclear"}
}

test_each_subject_alone_gets_what_it_gets_among_others if {
	changes := [{"id": "a"}, {"id": "b", "serves": "unknown"}, {"id": "c", "to": "trap_box"}, {"id": "d", "serves": "bidet"}]
	subjects := [object.union(basin, change) | some change in changes]
	together := table.asked(subjects, rules)
	every set in ["subjects", "requirements", "exempt", "unclear"] {
		together[set] == union({table.asked([subject], rules)[set] | some subject in subjects})
	}
}
