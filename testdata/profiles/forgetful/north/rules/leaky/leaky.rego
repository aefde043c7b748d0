# METADATA
# title: A rule that loses whom it does not know
# description: Its scope is who is known to be a shower, so a fixture of unknown kind leaves it.
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
package profiles.north.rules.leaky

subjects contains fixture.id if {
	some fixture in input.fixtures
	fixture.kind == "shower"
}

requirements contains {"of": id, "any": data.profiles.north.rules.leaky.limits} if some id in subjects
