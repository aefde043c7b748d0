# METADATA
# title: A rule that answers wrongly
# description: What it says of a fixture is wrong in the way that the fixture's id names.
# scope: package
# custom:
#   topic: fixture
#   document: code
#   clause: "0"
#   force: practice
#   severity: formality
#   of: fixtures
#   quantities: [flush, overflow]
#   when: before_use
package profiles.north.rules.wild

_good := {"need": {"flush": {"at_most": "6 l"}}, "basis": "read"}

_rows := {
	"sound": [[_good]],
	"no_row": [[]],
	"no_need": [[_good, {"basis": "read"}]],
	"need_misspelt": [[{"nede": {"flush": {"at_most": "6 l"}}, "basis": "read"}]],
	"need_empty": [[{"need": {}, "basis": "read"}]],
	"bound_empty": [[{"need": {"flush": {}}, "basis": "read"}]],
	"bound_misspelt": [[{"need": {"flush": {"at_moost": "6 l"}}, "basis": "read"}]],
	"bound_of_null": [[{"need": {"flush": null}, "basis": "read"}]],
	"unknown_quantity": [[{"need": {"flushing": {"at_most": "6 l"}}, "basis": "read"}]],
	"unlisted_quantity": [[{"need": {"has_trap": {"one_of": ["fitted"]}}, "basis": "read"}]],
	"dimension": [[{"need": {"flush": {"at_most": "6 mm"}}, "basis": "read"}]],
	"crossed": [[{"need": {"flush": {"at_most": "6 l", "at_least": "9 l"}}, "basis": "read"}]],
	"word": [[{"need": {"overflow": {"one_of": ["fited"]}}, "basis": "read"}]],
	"doubled": [[_good], [_good, _good]],
	"beside_exemption": [[_good]],
	"stranger": [[_good]],
}

subjects contains fixture.id if some fixture in input.fixtures

subjects contains "not_a_fixture"

requirements contains {"of": id, "any": rows} if {
	some id in subjects
	some rows in _rows[id]
}

requirements contains {"of": "not_in_scope", "any": [_good]}

exempt contains {"of": id, "why": "so"} if {
	some id in subjects
	id in {"beside_exemption", "exempt_and_unclear"}
}

unclear contains {"of": id, "why": "so"} if {
	some id in subjects
	id in {"exempt_and_unclear", "authority"}
}

unclear contains {"of": "without_why"} if "without_why" in subjects

unclear contains {"of": "without_needs", "why": "so", "because": "not_asked"} if "without_needs" in subjects
