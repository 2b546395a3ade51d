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

/**
 * Every guard at work, invented: 60 heads that stand in a hall and draw circles on its floor, pars that fade, blinders, UV, strobes, hazers and lasers; 200 in
 * all, over 64 universes.
 */
export function guardedShow() {
  const kinds = [
    ...Array.from({ length: 60 }, (_, i) => ({
      ...{ type: 'beam-head', mode: '12ch', use: 'beam' },
      pose: { x: (i % 12) * 1.5, y: Math.floor(i / 12) * 3, z: 4, put: 'hung', facing: 0 },
    })),
    ...Array.from({ length: 110 }, () => ({ type: 'rgbw-par', mode: '6ch', use: 'uplight' })),
    ...Array.from({ length: 8 }, () => ({ type: 'blinder-pair', mode: '2ch', use: 'blinder' })),
    ...Array.from({ length: 8 }, () => ({ type: 'uv-flood', mode: '1ch', use: 'dance wash' })),
    ...Array.from({ length: 6 }, () => ({ type: 'strobe-panel', mode: '2ch', use: 'dance wash' })),
    ...Array.from({ length: 4 }, () => ({ type: 'hazer', mode: '1ch', use: 'haze' })),
    ...Array.from({ length: 4 }, () => ({ type: 'rgbw-par', mode: '6ch', use: 'laser' })),
  ];
  const fixtures = kinds.map((one, i) => ({
    ...{ id: `f${i}`, name: `Light ${i}`, universe: 1 + (i % 64), address: 1 + 100 * Math.floor(i / 64) },
    ...one,
  }));
  const still = { fade: 0, unattended: true };
  const colours = (...list) => [{ who: [{ use: 'uplight' }, { use: 'beam' }], level: 1, colour: list }];
  return {
    ...{ format: 'duskhand-show', version: 4, id: 'guarded', name: 'Guarded', demo: true },
    theme: { name: 'Plain', colours: [] },
    fixtures,
    landmarks: [{ id: 'floor', name: 'Floor', x: 9, y: 8, z: 0, area: { width: 8, depth: 6, turned: 0 } }],
    looks: [
      { id: 'all', name: 'All', ...still, parts: [{ who: [{ all: true }], level: 0.8, haze: 0.5 }] },
      { id: 'strobes', name: 'Strobes', ...still, parts: [{ who: [{ use: 'dance wash' }], strobe: 2 }] },
    ],
    chases: [
      {
        ...{ id: 'colours', name: 'Colours', ...still },
        steps: [colours('#ff2000', '#0040ff'), colours('#ffd6a0', '#9000ff')].map((parts) => ({
          length: { seconds: 2 },
          fade: 1,
          parts,
        })),
      },
    ],
    movements: [
      {
        ...{ id: 'circle', name: 'Circle', ...still, who: [{ use: 'beam' }], figure: 'circle', spread: 1 },
        ...{ size: { width: 2, depth: 2 }, period: { seconds: 6 }, aim: { landmark: 'floor', deal: 'grid' } },
      },
    ],
    buttons: [{ id: 'all', name: 'All', starts: [{ look: 'all' }] }],
    start: [{ look: 'all' }, { look: 'strobes' }, { chase: 'colours' }, { movement: 'circle' }],
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
