# METADATA
# title: A rule that lets pass whom it does not know
# description: Who is known to be pumped is asked for a trap, everybody else for nothing that can fail.
# scope: package
# custom:
#   topic: fixture
#   document: code
#   clause: "0"
#   force: practice
#   severity: formality
#   of: fixtures
#   quantities: [has_trap]
#   when: before_use
package profiles.north.rules.eager

subjects contains fixture.id if some fixture in input.fixtures

requirements contains {"of": fixture.id, "any": rows} if {
	some fixture in input.fixtures
	rows := [object.filter(row, ["need", "basis"]) |
		some row in data.profiles.north.rules.eager.limits
		row.pumped == _asked(fixture)
	]
}

_asked(fixture) := "pumped" if fixture.pumped == "pumped"

_asked(fixture) := "gravity" if fixture.pumped != "pumped"
