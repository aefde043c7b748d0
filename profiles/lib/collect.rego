# METADATA
# title: What all profiles ask
# description: >-
#   Gathers what the rules of each profile, and of the profiles it extends, ask
#   of the input. Nothing else joins profiles, so stock `opa eval` gives the
#   requirements that the engine judges.
package fallrule

import data.lib.table

# asked[profile][origin][rule] is {subjects, requirements, exempt, unclear}.
# `origin` is the profile that holds the rule: the profile itself or a parent.
asked[profile][origin][rule] := own[origin][rule] if {
	some profile
	data.profiles[profile].header
	some origin in lineage[profile]
	some rule in names[origin]
	not dropped(profile, origin, rule)
}

# A rule that is a table. Defined whole for each rule: a set that grew subject
# by subject would cost the square of their number.
own[profile][rule] := table.asked(input[rules.header.of], rules.table) if {
	some profile, rule
	rules := data.profiles[profile].rules[rule]
	rules.table
}

# A rule that says more than a table can: the sets of its package.
own[profile][rule] := {
	"subjects": data.profiles[profile].rules[rule].subjects,
	"requirements": object.get(sets, "requirements", set()),
	"exempt": object.get(sets, "exempt", set()),
	"unclear": object.get(sets, "unclear", set()),
} if {
	some profile, rule
	data.profiles[profile].rules[rule].subjects
	sets := data.profiles[profile].rules[rule]
}

names[profile] := {rule | data.profiles[profile].rules[rule]} if data.profiles[profile].header

lineage[profile] := graph.reachable(parents, {profile}) if data.profiles[profile].header

parents[profile] := {parent | parent := data.profiles[profile].header.extends} if data.profiles[profile].header

# A profile that drops a rule drops it from what it extends, for itself and for
# all that extend it in turn.
dropped(profile, origin, rule) if {
	some heir in lineage[profile]
	heir != origin
	origin in lineage[heir]
	data.profiles[heir].header.drops[rule]
}
