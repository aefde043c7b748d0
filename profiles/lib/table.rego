# METADATA
# title: A rule that is a table
# description: >-
#   Reads the table of a rule.yaml against one list of subjects. `where` is the
#   scope: a subject leaves it only by a fact that is known and not among the
#   words, so forgetting a fact never takes anybody out of a rule.
package lib.table

# What a table asks of a list of subjects:
#   subjects      ids in scope
#   requirements  {of, any: [row, ...]}, every row whose `for` fits
#   exempt        {of, why}
#   unclear       {of, why, because, needs | by}
# A subject that no row fits is in `subjects` alone: the engine reports it.
asked(list, table) := {
	"subjects": {id | some [id, _] in answers},
	"requirements": {{"of": id, "any": answer.any} |
		some [id, answer] in answers
		answer.set == "requirements"
	},
	"exempt": {{"of": id, "why": answer.why} |
		some [id, answer] in answers
		answer.set == "exempt"
	},
	"unclear": {object.union({"of": id}, answer.reason) |
		some [id, answer] in answers
		answer.set == "unclear"
	},
} if {
	# Subjects whose facts are alike to the table are answered once: a function
	# called again with the same arguments is remembered.
	facts := {field | some words in conditions(table); some field, _ in words}
	answers := [[subject.id, answer] |
		some subject in list
		answer := ask(object.filter(subject, facts), table)
		answer.set != "out_of_scope"
	]
}

# One subject gets one answer. What is known for certain comes first: an
# exemption, then a judgement left to the authority. A fact that is not known
# and that anything hangs on leaves the subject unclear.
ask(subject, table) := {"set": "out_of_scope"} if {
	ruled_out(subject, object.get(table, "where", {}))
} else := {"set": "exempt", "why": entry.why} if {
	entry := fitting(subject, table, "exempt")[0]
} else := {"set": "unclear", "reason": reason} if {
	entry := fitting(subject, table, "unclear")[0]
	reason := {"why": entry.why, "by": object.get(entry, "by", "authority"), "because": "authority"}
} else := {"set": "unclear", "reason": reason} if {
	open := open_facts(subject, table)
	count(open) > 0
	why := concat("", ["what the clause asks depends on ", concat(" and ", open), ", which is unknown"])
	reason := {"why": why, "needs": open, "because": "not_asked"}
} else := {"set": "requirements", "any": rows} if {
	rows := [object.remove(row, ["for"]) |
		some row in object.get(table, "limits", [])
		fits(subject, object.get(row, "for", {}))
	]
	count(rows) > 0
} else := {"set": "none"}

# The entries of `exempt` or `unclear` that hold for a subject, in their order.
fitting(subject, table, key) := [entry |
	some entry in object.get(table, key, [])
	fits(subject, object.get(entry, "when", {}))
]

# The unknown facts that scope, an exemption, a reason or a row hangs on.
open_facts(subject, table) := {field |
	some words in conditions(table)
	not ruled_out(subject, words)
	some field, allowed in words
	is_open(subject, field, allowed)
}

conditions(table) := array.concat(
	[object.get(table, "where", {})],
	array.concat(
		[object.get(entry, "when", {}) |
			some key in ["exempt", "unclear"]
			some entry in object.get(table, key, [])
		],
		[object.get(row, "for", {}) | some row in object.get(table, "limits", [])],
	),
)

# A condition is {fact: [words]}: all its facts must be among their words.
fits(subject, condition) if {
	every field, allowed in condition {
		object.get(subject, field, "unknown") in allowed
	}
}

ruled_out(subject, condition) if {
	some field, allowed in condition
	fact := object.get(subject, field, "unknown")
	not fact in allowed
	fact != "unknown"
}

is_open(subject, field, allowed) if {
	object.get(subject, field, "unknown") == "unknown"
	not "unknown" in allowed
}
