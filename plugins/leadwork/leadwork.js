#!/usr/bin/env node
'use strict';

// What the tool starts: the measurer of lead.js, served by serve.js.

const { serve } = require('./serve');
const { leadLeft } = require('./lead');

serve({
  name: 'leadwork',
  version: '1.0.0',
  quantities: [{ name: 'lead_left', unit: 'mm', doc: 'total length of the lead pipes that stay' }],
  measure(plan, quantities, working) {
    const answers = { measurements: [], gaps: [] };
    if (quantities.includes('lead_left')) {
      const { band, gap, working: how } = leadLeft(plan);
      const asked = { quantity: 'lead_left', subject: 'house' };
      if (gap) answers.gaps.push({ ...asked, ...gap });
      else answers.measurements.push({ ...asked, band, working: working ? how : undefined });
    }
    return answers;
  },
});
