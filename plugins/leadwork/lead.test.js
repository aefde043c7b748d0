'use strict';

// The figures are worked out by hand beside each case.

const assert = require('node:assert');
const test = require('node:test');
const { leadLeft } = require('./lead');

const mm = (value, tolerance = 0) => ({ low: value - tolerance, value, high: value + tolerance });
const pipe = (id, madeOf, legs, more = {}) => ({ id, whole: id, state: 'existing', made_of: madeOf, legs, ...more });

test('lengths of lead are added, ends to ends', () => {
  const { band, working } = leadLeft({
    branches: [
      pipe('sink.waste', 'lead', [{ length: mm(1200, 10) }]),
      pipe('bath.waste', 'lead', [{ along: mm(400), drop: mm(300) }]), // 3-4-5: 500
      pipe('basin.waste', 'plastic', [{ length: mm(900, 10) }]),
    ],
    drains: [pipe('yard', 'lead', [{ along: mm(1000, 100), fall: { value: 750, low: 750, high: 750 } }])], // 750 down: 1250, 1125 to 1375
    links: [{ id: 'c1', line: 'c1', state: 'existing', made_of: 'lead', length: mm(2000, 50) }],
  });
  // 1200 + 500 + 1250 + 2000; 1190 + 500 + 1125 + 1950; 1210 + 500 + 1375 + 2050
  assert.deepStrictEqual(band, { low: 4765, value: 4950, high: 5135 });
  assert.match(working.numbers, /1200 mm \(sink\.waste\) \+ 500 mm \(bath\.waste\) .* = 4950 mm \(4765 mm to 5135 mm\)/);
});

test('what is taken out does not count, and no lead is nought', () => {
  const gone = pipe('sink.waste', 'lead', [], { state: 'removed' });
  const { band, working } = leadLeft({ branches: [gone, pipe('basin.waste', 'copper', [])] });
  assert.deepStrictEqual(band, { low: 0, value: 0, high: 0 });
  assert.equal(working.numbers, 'none of 1 pipes is lead: 0 mm');
});

test('a guessed supply pipe adds nothing for sure', () => {
  const { band } = leadLeft({ links: [{ id: 'c1', line: 'c1', made_of: 'lead', known: 'guessed', length: mm(2000, 50) }] });
  assert.deepStrictEqual(band, { low: 0, value: 2000, high: 2050 });
});

test('a drop told with an upright piece, and a level piece told by its level distance', () => {
  const legs = [{ drop: mm(-220), steep: true }, { along: mm(1000) }]; // 220 + 1000, at most 220 + 1414.2
  const { band } = leadLeft({ branches: [pipe('sink.waste', 'lead', legs)] });
  assert.equal(band.low, 1220);
  assert.equal(band.value, 1220);
  assert.ok(Math.abs(band.high - 1634.2136) < 1e-3);
});

test('a piece of a cut pipe has the length between its junctions', () => {
  const { band } = leadLeft({ branches: [pipe('sink.waste/2', 'lead', [{ length: mm(5000) }], { told: mm(700, 5) })] });
  assert.deepStrictEqual(band, { low: 695, value: 700, high: 705 });
});

for (const [name, plan, needs] of [
  ['the material', { branches: [pipe('sink.waste', 'unknown', [{ length: mm(900) }])] }, 'sink.waste.made_of'],
  ['the material of a drain', { drains: [pipe('yard/1', '', [], { whole: 'yard' })] }, 'drains.yard.made_of'],
  ['the length', { branches: [pipe('sink.waste', 'lead', [])] }, 'sink.waste.length'],
  ['the length of a piece', { branches: [pipe('sink.waste', 'lead', [{ length: mm(900) }, { drop: mm(20) }])] }, 'sink.waste.length'],
  ['the length of a supply pipe', { links: [{ id: 'c1/1', line: 'c1', made_of: 'lead' }] }, 'supply.lines.c1.length'],
  ['the material of a supply pipe', { links: [{ id: 'c1', line: 'c1', made_of: 'unknown', length: mm(900) }] }, 'supply.lines.c1.pipe.made_of'],
  ['the length of a way from a manifold', { links: [{ id: 'm~bath.cold', line: 'm', made_of: 'lead' }] }, 'supply.manifolds.m.to.bath.cold.length'],
  ['the material of a manifold\'s pipes', { links: [{ id: 'm~bath.cold', line: 'm', made_of: '' }] }, 'supply.manifolds.m.pipe.made_of'],
]) {
  test(`a gap asks for ${name}`, () => {
    const { band, gap } = leadLeft(plan);
    assert.equal(band, undefined);
    assert.equal(gap.needs, needs);
    assert.equal(gap.because, 'not_measured');
  });
}

test('lead that is known stays known beside what is not: at least that much', () => {
  const plan = { branches: [pipe('sink.waste', 'lead', [{ length: mm(900, 5) }]), pipe('bath.waste', 'unknown', [])] };
  const { band, working } = leadLeft(plan);
  assert.deepStrictEqual(band, { low: 895, value: 900 });
  assert.match(working.numbers, /at least 895 mm; nobody has told what bath\.waste is made of/);
  assert.deepStrictEqual(leadLeft({ branches: [pipe('sink.waste', 'lead', [{ length: { low: 895, value: 900 } }])] }).band, { low: 895, value: 900 });
});

test('random truths lie in the band, its ends are reached, and wider readings never narrow it', () => {
  const between = (low, high) => low + Math.random() * (high - low);
  for (let round = 0; round < 2000; round++) {
    const along = mm(between(200, 4000), between(0, 30));
    const drop = mm(between(-50, 300), between(0, 40));
    const length = mm(between(200, 4000), between(0, 30));
    const answer = (wider) => {
      const w = (r) => ({ low: r.low - wider, value: r.value, high: r.high + wider });
      return leadLeft({ branches: [pipe('a', 'lead', [{ along: w(along), drop: w(drop) }]), pipe('b', 'lead', [{ length: w(length) }])] }).band;
    };
    const told = answer(0);
    const at = (a, d, l) => Math.hypot(a, d) + l;
    const near = drop.low < 0 && drop.high > 0 ? 0 : drop.low;
    const corners = [at(along.low, near, length.low), at(along.low, drop.low, length.low), at(along.low, drop.high, length.low),
      at(along.high, drop.low, length.high), at(along.high, drop.high, length.high)];
    assert.ok(Math.abs(told.low - Math.min(...corners)) < 1e-6 && Math.abs(told.high - Math.max(...corners)) < 1e-6);
    for (let draw = 0; draw < 5; draw++) {
      const truth = at(between(along.low, along.high), between(drop.low, drop.high), between(length.low, length.high));
      assert.ok(truth >= told.low - 1e-6 && truth <= told.high + 1e-6);
    }
    const wide = answer(between(0, 20));
    assert.ok(wide.low <= told.low + 1e-9 && wide.high >= told.high - 1e-9);
  }
});
