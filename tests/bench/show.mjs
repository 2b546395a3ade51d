import { built } from './common.mjs';

const { levelFor } = await built('light/lightness.js');

/**
 * Slot 512 of universe 1 of the lamp that `low` and `high` set. They are nearer to each other than a tenth of its full light, so that going to
 * and fro between them is no flash (WCAG 2.2, general flash) and no guard holds it.
 */
export const LOW = 51;
export const HIGH = 70;

/** The level of a look that gives such a slot. */
export const levelOf = (slot) => levelFor(slot / 255);

const moving = [{ chase: 'colours' }, { movement: 'circle' }];

/**
 * A night without rest, invented: pars and a beam for every two of them in every universe, all fading through colours and swinging, and one
 * lamp that two buttons set.
 */
export function restlessShow(universes, { start = moving, beams = 10 } = {}) {
  const lamp = { type: 'dimmer', mode: '1ch' };
  const fixtures = Array.from({ length: universes }, (_, i) => i + 1).flatMap((universe) => [
    ...Array.from({ length: beams * 2 }, (_, i) => ({
      id: `par-${universe}-${i}`,
      name: `Par ${universe}.${i}`,
      type: 'rgbw-par',
      mode: '6ch',
      universe,
      address: 1 + i * 6,
      use: 'uplight',
    })),
    ...Array.from({ length: beams }, (_, i) => ({
      id: `beam-${universe}-${i}`,
      name: `Beam ${universe}.${i}`,
      type: 'beam-head',
      mode: '12ch',
      universe,
      address: 201 + i * 12,
      use: 'beam',
    })),
  ]);
  const still = { fade: 0, unattended: true };
  const everybody = [{ use: 'uplight' }, { use: 'beam' }];
  const step = (...colours) => ({ length: { seconds: 2 }, fade: 1, parts: [{ who: everybody, level: 1, colour: colours }] });
  const look = (id, level) => ({
    id,
    name: id,
    ...still,
    parts: [{ who: [{ use: 'centrepiece' }], level: levelOf(level) }],
  });
  return {
    format: 'duskhand-show',
    version: 4,
    id: 'bench',
    name: 'Bench',
    demo: true,
    theme: { name: 'Plain', colours: [] },
    fixtures: [{ id: 'pressed', name: 'Pressed', ...lamp, universe: 1, address: 512, use: 'centrepiece' }, ...fixtures],
    looks: [look('low', LOW), look('high', HIGH)],
    chases: [{ id: 'colours', name: 'Colours', ...still, steps: [step('#ff2000', '#0040ff'), step('#ffd6a0', '#9000ff')] }],
    movements: [
      {
        id: 'circle',
        name: 'Circle',
        ...still,
        who: [{ use: 'beam' }],
        figure: 'circle',
        size: { pan: 30, tilt: 20 },
        period: { seconds: 5 },
        spread: 1,
      },
    ],
    buttons: [
      { id: 'low', name: 'Low', starts: [{ look: 'low' }] },
      { id: 'high', name: 'High', starts: [{ look: 'high' }] },
    ],
    start: [{ look: 'low' }, ...start],
  };
}

/** Invented: lamps that move without a rest, and looks of a part for each lamp. */
export function bigShow(looks, level = 0.5) {
  // 7 universes of 20 pars and 10 beams: 211 lamps.
  const show = restlessShow(7);
  const ids = show.fixtures.map(({ id }) => id);
  const parts = (n) =>
    ids.slice(n % 160, (n % 160) + 24).map((fixture) => ({ who: [{ fixture }], level: n === 0 ? level : 0.5, colour: '#ff8040' }));
  const more = Array.from({ length: looks }, (_, n) => ({ id: `look-${n}`, name: `Look ${n}`, fade: 1, parts: parts(n) }));
  return { ...show, looks: [...show.looks, ...more] };
}

/** Settings of a node with these outputs. */
export const settingsOf = (outputs) => ({ format: 'duskhand-settings', version: 1, outputs });

/** An sACN output by unicast, as the settings have it. */
export const sacnTo = (id, port, universes) => ({
  id,
  protocol: 'sacn',
  to: [`127.0.0.1:${port}`],
  ...(universes && { universes }),
});
