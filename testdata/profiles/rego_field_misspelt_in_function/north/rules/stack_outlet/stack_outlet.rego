# METADATA
# title: A stack is wide enough for what discharges into it
# description: A stack with a water closet is at least 90 mm wide, in a public house 100 mm.
# scope: package
# custom:
#   topic: stack
#   document: code
#   clause: "7"
#   force: law
#   severity: defect
#   of: stacks
#   quantities: [bore]
#   when: before_work
package profiles.north.rules.stack_outlet

subjects contains stack.id if {
	some stack in input.stacks
	stack.carries != "waste"
}

requirements contains {"of": stack.id, "any": rows} if {
	some stack in input.stacks
	stack.carries == "wc"
	some house in input.buildings
	house.use != "unknown"
	rows := [object.remove(row, ["for"]) |
		some row in data.profiles.north.rules.stack_outlet.limits
		house.use in row.for.use
	]
	count(rows) > 0
}

unclear contains {"of": stack.id, "why": "it is not known what flows into it", "because": "not_asked", "needs": ["carries"]} if {
	some stack in input.stacks
	_known(stack)
}

_known(any) if any.carrys != "unknown"
