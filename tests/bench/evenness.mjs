/**
 * How even a fade looks on every lamp of the library: from dark to full in white in steps of half a percent, read off the slots as the lamp
 * reads them, in L* (CIE 15). `parts` are the modules of the node, compiled or not.
 */
const STEPS = 200;

const lightness = (light) => (light > 216 / 24389 ? 116 * Math.cbrt(light) - 16 : (24389 / 27) * light);

const along = (curve, share) => {
  if (curve === 'linear') return share;
  if (curve === 'square') return share * share;
  if (curve === 's') return share * share * (3 - 2 * share);
  const at = share * (curve.length - 1);
  const before = Math.min(curve.length - 2, Math.floor(at));
  return curve[before] + (curve[before + 1] - curve[before]) * (at - before);
};

/** Light of the whole, or of its first part, from its slots: what its dimmers let through times what its emitters give. */
function lightIn(slots, mode, emitterOf) {
  const values = mode.channels
    .filter(({ part = 1 }) => part === 1)
    .flatMap(({ slot, fine, ultra, functions }) => {
      const value = [slot, fine, ultra].filter(Boolean).reduce((sum, at) => sum * 256 + slots[at - 1], 0);
      const job = functions.find(({ from, to, attribute }) => attribute !== 'NoFeature' && value >= from && value <= to);
      if (job === undefined) return [];
      return [{ name: job.attribute, share: along(job.curve, (value - job.from) / (job.to - job.from)), bits: fine ? 16 : 8 }];
    });
  const dimmers = values.filter(({ name }) => name === 'Dimmer');
  const emitters = values.flatMap(({ name, share }) => (emitterOf(name) === undefined ? [] : [share * emitterOf(name)]));
  const dims = dimmers.length === 0 ? emitters.length > 0 : true;
  const mixed = emitters.length === 0 ? 1 : emitters.reduce((sum, one) => sum + one, 0);
  return {
    dims,
    bits: Math.min(16, ...(dimmers.length > 0 ? dimmers : values).map(({ bits }) => bits)),
    light: [...new Set(dimmers.map(({ share }) => share))].reduce((product, share) => product * share, 1) * mixed,
  };
}

/** One row a mode that gives light: how L* goes with the level. */
export function evenness({ library, layOut, Levels, Encoder, attribute }) {
  const rows = [];
  for (const type of library.values()) {
    for (const mode of type.modes) {
      const rig = layOut([{ id: 'lamp', type, mode, use: 'uplight', universe: 1, address: 1, adjust: {} }]);
      const levels = new Levels([1]);
      const encoder = Encoder.for(rig, levels);
      const names = mode.channels.flatMap(({ functions }) => functions.map((one) => one.attribute));
      if (
        !rig.attributeOf.includes('Dimmer') ||
        mode.channels.some(({ functions }) => functions.some(({ curve }) => curve !== 'linear'))
      )
        continue;
      const emitterOf = (name) => (names.includes(name) ? (type.emitters[name]?.flux ?? attribute(name).emitter?.[2]) : undefined);
      const seen = Array.from({ length: STEPS + 1 }, (_, i) => {
        const frame = Float64Array.from(rig.rest, (value, cell) => (rig.attributeOf[cell] === 'Dimmer' ? i / STEPS : value));
        // Parts stand open behind the dimmer of the whole.
        encoder.encode(frame);
        return lightIn(levels.slots(1), mode, emitterOf);
      });
      if (!seen[STEPS].dims) continue;
      const shown = seen.map(({ light }) => lightness(light / seen[STEPS].light));
      const steps = shown.map((one, i) => (i === 0 ? 0 : one - shown[i - 1]));
      rows.push({
        what: `${type.id} ${mode.id}`,
        bits: seen[STEPS].bits,
        steps,
        worst: Math.max(...steps),
        worstAbove: Math.max(...steps.filter((_, i) => i > 0.2 * STEPS)),
        least: Math.min(...steps),
        litFrom: shown.findIndex((one) => one > 0) / STEPS,
        off: Math.max(...shown.map((one, i) => Math.abs(one - (100 * i) / STEPS))),
        shown,
      });
    }
  }
  return rows;
}
