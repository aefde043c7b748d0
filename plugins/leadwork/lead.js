'use strict';

// How much lead pipe stays in the house after the work, in mm. Lead in the
// supply poisons the water, and old lead wastes are soft and sag; both are what
// a house's buyer and a by-law ask about.
//
// Every length is a band {low, value, high}; ends are added worst case. An end
// that the layout leaves out is not known: infinite.

/** A reading of the plan as a band that is never below nothing. */
function size(reading) {
  const { low, value, high } = band(reading);
  return { low: Math.max(low, 0), value: Math.max(value, 0), high: Math.max(high, 0) };
}

function band({ low = -Infinity, value, high = Infinity }) {
  return { low, value, high };
}

const plus = (a, b) => ({ low: a.low + b.low, value: a.value + b.value, high: a.high + b.high });

/** The size of a drop, downwards or upwards. */
function magnitude(reading) {
  const { low, value, high } = band(reading);
  const least = low > 0 ? low : high < 0 ? -high : 0;
  return { low: least, value: Math.abs(value), high: Math.max(Math.abs(low), Math.abs(high)) };
}

/** Along the pipe, over a level distance and a drop. */
function slanting(along, drop) {
  return {
    low: Math.hypot(along.low, drop.low),
    value: Math.hypot(along.value, drop.value),
    high: Math.hypot(along.high, drop.high),
  };
}

/** The drop of a fall in mm/m over a level distance, without its sign. */
function dropOf(fall, along) {
  const f = magnitude(fall);
  const times = (x, y) => (x === 0 || y === 0 ? 0 : (x * y) / 1000);
  return { low: times(f.low, along.low), value: times(f.value, along.value), high: times(f.high, along.high) };
}

/** The length of one straight piece, or nothing when it was not told. */
function legLength(leg) {
  if (leg.length) return size(leg.length);
  const along = leg.along && size(leg.along);
  if (along && leg.drop) return slanting(along, magnitude(leg.drop));
  if (along && leg.fall) return slanting(along, dropOf(leg.fall, along));
  if (leg.steep && leg.drop) return magnitude(leg.drop); // upright
  // A piece that is not steep stands below 45°: at most the diagonal.
  if (along && !leg.steep) return { ...along, high: along.high * Math.SQRT2 };
  return undefined;
}

/** The length of a waste or drain, or nothing when a piece of it was not told. */
function pipeLength(pipe) {
  if (pipe.told) return size(pipe.told);
  const legs = (pipe.legs ?? []).map(legLength);
  if (legs.length === 0 || legs.includes(undefined)) return undefined;
  return legs.reduce(plus);
}

/** All pipes that stay, with material and length, and where the document tells these. */
function pipes(plan) {
  const stays = (x) => x.state !== 'removed';
  const drainage = (prefix) => (x) => {
    const name = prefix + (x.whole || x.id);
    return { name, madeOf: x.made_of, length: pipeLength(x), at: { madeOf: `${name}.made_of`, length: `${name}.length` } };
  };
  return [
    ...(plan.branches ?? []).filter(stays).map(drainage('')),
    ...(plan.drains ?? []).filter(stays).map(drainage('drains.')),
    ...(plan.links ?? []).filter(stays).map(supply),
  ];
}

/** A supply pipe. One that is guessed may not be there: it adds nothing for sure. */
function supply(x) {
  const length = x.length && size(x.length);
  if (length && x.known === 'guessed') length.low = 0;
  const [manifold, to] = x.id.split('~'); // the way from a manifold to one draw-off
  const whole = to ? `supply.manifolds.${manifold}` : `supply.lines.${x.line || x.id}`;
  const at = { madeOf: `${whole}.pipe.made_of`, length: to ? `${whole}.to.${to}.length` : `${whole}.length` };
  return { name: x.id, madeOf: x.made_of, length, at };
}

/** What a pipe leaves open, as a gap's needs and text, or nothing. */
function doubt({ name, madeOf, length, at }) {
  if (!madeOf || madeOf === 'unknown') {
    return { needs: at.madeOf, text: `nobody has told what ${name} is made of` };
  }
  if (madeOf === 'lead' && !length) {
    return { needs: at.length, text: `${name} is lead, and nobody has told how long it is` };
  }
  return undefined;
}

/**
 * The answer for the house: {band, working}, or {gap} when something is open
 * and no lead is known of. When some is known and something is open, the band
 * has no upper end: there is at least that much.
 * @param {object} plan the layout as the tool sends it
 */
function leadLeft(plan) {
  const all = pipes(plan);
  const open = all.map(doubt).filter(Boolean);
  const lead = all.filter((p) => p.madeOf === 'lead' && p.length);
  const sum = lead.map((p) => p.length).reduce(plus, { low: 0, value: 0, high: 0 });
  if (open.length > 0 && sum.low === 0) return { gap: { because: 'not_measured', ...open[0] } };
  const high = open.length > 0 ? Infinity : sum.high;
  return { band: onTheWire({ ...sum, high }), working: working(all, lead, { ...sum, high }, open) };
}

/** The wire leaves out an end that nobody knows. */
function onTheWire({ low, value, high }) {
  return Number.isFinite(high) ? { low, value, high } : { low, value };
}

/** How the figure was come by; a text of the wire holds 16 KiB at most. */
function working(all, lead, sum, open) {
  const most = 20;
  const mm = (v) => `${Math.round(v * 10) / 10} mm`;
  const parts = lead.slice(0, most).map((p) => `${mm(p.length.value)} (${p.name})`);
  if (lead.length > most) parts.push(`${lead.length - most} more`);
  const ends = Number.isFinite(sum.high) ? `${mm(sum.low)} to ${mm(sum.high)}` : `at least ${mm(sum.low)}`;
  const why = open.length > 0 ? `; ${open[0].text}` : '';
  const numbers = parts.length === 0 ? `none of ${all.length} pipes is lead: 0 mm` : `${parts.join(' + ')} = ${mm(sum.value)} (${ends}${why})`;
  return { formula: 'lead left = sum of the lengths of the lead pipes that stay', numbers, source: 'geometry' };
}

module.exports = { leadLeft };
