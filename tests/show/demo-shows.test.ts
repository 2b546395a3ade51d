import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { library } from '../../node/rig/library.ts';
import type { ItemRef, Part, Show } from '../../node/show/document.ts';
import { Offline, press } from '../helpers/offline.ts';
import { demoNames, demoShow, members } from './demo-show.ts';

const ids = (list: readonly { readonly id: string }[]): string[] => list.map(({ id }) => id);
const named = (show: Show, name: string) => show.buttons.find((button) => button.name === name);
const lookOf = (refs: readonly ItemRef[] | undefined): string =>
  refs?.flatMap((ref) => ('look' in ref ? [ref.look] : []))[0] ?? 'no look';

/** Levels that parts give to each lamp, by its id; a later part stands. */
const levels = (show: Show, parts: readonly Part[]): Map<string, number> =>
  new Map(parts.flatMap(({ who, level }) => (level === undefined ? [] : members(show, who).map((id) => [id, level] as const))));

const modeOf = (show: Show, fixtureId: string) => {
  const fixture = show.fixtures.find(({ id }) => id === fixtureId);
  const type = library.get(fixture?.type ?? '');
  return { type, channels: type?.modes.find(({ id }) => id === fixture?.mode)?.channels ?? [] };
};

const allParts = (show: Show): Part[] => [
  ...[...show.looks, ...show.hits].flatMap(({ parts }) => parts),
  ...show.chases.flatMap(({ steps }) => steps.flatMap(({ parts }) => parts)),
];

/** Degrees from straight up (beams, which stand) or straight down (spots, which hang) that a head may lean, so that no beam comes level. */
const leastSteep = { beam: 55, spot: 45 } as const;

describe.each(demoNames)('the demo show %s', (name) => {
  const show = demoShow(name);
  const looks = new Map(show.looks.map((look) => [look.id, look]));

  it('carries its own name, and says that it is invented', () => {
    expect(show.id).toBe(name);
    expect(show.demo).toBe(true);
    expect(show.notes).toMatch(/^Demo\. .*invented/);
  });

  it('is a rig that one DJ would own', () => {
    const count = (use: string): number => show.fixtures.filter((fixture) => fixture.use === use).length;
    expect(count('uplight')).toBe(12);
    expect(count('dance wash')).toBe(4);
    expect(count('blinder')).toBe(1);
    expect(count('spot') + count('beam')).toBeGreaterThanOrEqual(2);
    expect(count('spot') + count('beam')).toBeLessThanOrEqual(4);
    expect(count('haze')).toBe(name === 'barn-wedding' ? 1 : 0);
    expect(new Set(show.fixtures.map(({ universe }) => universe)).size).toBeGreaterThanOrEqual(3);
  });

  it('has a button for every moment of the evening', () => {
    for (const wanted of ['Entrance', 'First dance focus', 'Dance floor', 'Slow dance', 'Last dance', 'Going home'])
      expect(named(show, wanted), wanted).toBeDefined();
  });

  it('says on every button what guests will see', () => {
    for (const { line } of show.buttons) expect(line.length).toBeGreaterThan(20);
  });

  it('lists every button in some moment', () => {
    expect(ids(show.buttons).filter((id) => !show.moments.some(({ buttons }) => buttons.includes(id)))).toEqual([]);
  });

  it('plays nothing that no button starts, and has no look that cannot be reached', () => {
    const reached = [...show.buttons.flatMap(({ starts }) => starts), ...show.start].map((ref) => JSON.stringify(ref));
    const all = [
      ...show.looks.map(({ id }) => ({ look: id })),
      ...show.chases.map(({ id }) => ({ chase: id })),
      ...show.movements.map(({ id }) => ({ movement: id })),
      ...show.hits.map(({ id }) => ({ hit: id })),
    ];
    expect(all.map((ref) => JSON.stringify(ref)).filter((ref) => !reached.includes(ref))).toEqual([]);
  });

  it('starts with uplights that stay and need nobody, the lowest of them out of the reach of any button', () => {
    const base = show.start.map((ref) => ('look' in ref ? looks.get(ref.look) : undefined));
    for (const look of base) {
      expect(look?.stay).toBe(true);
      expect(look?.unattended).toBe(true);
      const lit = levels(show, look?.parts ?? []);
      for (const { id, use } of show.fixtures) if (use === 'uplight') expect(lit.get(id)).toBeGreaterThan(0.1);
    }
    const touched = show.buttons.flatMap(({ starts, stops }) => [...starts, ...stops]).map((ref) => JSON.stringify(ref));
    expect(touched).not.toContain(JSON.stringify(show.start[0]));
  });

  it('leaves nothing to run alone that moves heads, hits, makes haze or belongs to the dance floor', () => {
    expect([...show.movements, ...show.hits].filter(({ unattended }) => unattended)).toEqual([]);
    expect(show.looks.filter(({ unattended, parts }) => unattended && parts.some(({ haze }) => (haze ?? 0) > 0))).toEqual([]);
    for (const button of ['Dance floor', 'Slow dance', 'Last dance', 'First dance focus'])
      expect(looks.get(lookOf(named(show, button)?.starts))?.unattended, button).toBe(false);
  });

  it('brings lights up bright, warm and still', () => {
    const button = named(show, 'Going home');
    const everyOther = show.buttons.filter(({ id }) => id !== button?.id).map(({ id }, i) => [i * 100, press(id)] as const);
    const later = 60_000;
    // Any command tidies the stack of what has faded away.
    const tidied: Command = { do: 'tempo', bpm: 120 };
    const night = new Offline(show, [...everyOther, [later, press(button?.id ?? '')], [later + 9_000, tidied]]);
    expect(night.stack(later - 1).some((item) => /^(movement|chase):/.test(item))).toBe(true);
    expect(night.stack(later + 10_000).filter((item) => /^(movement|chase|hit):|haze/.test(item))).toEqual([]);
    const parts = looks.get(lookOf(button?.starts))?.parts ?? [];
    const lit = levels(show, parts);
    for (const { id, use } of show.fixtures)
      expect(lit.get(id), id).toBe(['uplight', 'dance wash', 'ceiling wash', 'totem', 'centrepiece'].includes(use) ? 1 : 0);
    for (const { colour } of parts) if (colour !== undefined) expect(colour).toMatch(/^3[0-5]00 K$/);
    expect(parts.some(({ strobe, who }) => strobe === 0 && who.some((one) => 'all' in one))).toBe(true);
  });

  it('keeps heads still for the first dance, on the floor or dark', () => {
    const starts = named(show, 'First dance focus')?.starts ?? [];
    expect(starts.every((ref) => 'look' in ref)).toBe(true);
  });

  it('has both a slow and a lively figure for its beams', () => {
    const periods = show.movements.map(({ period }) => Object.keys(period)[0]);
    expect(periods).toContain('seconds');
    expect(periods).toContain('beats');
    expect(new Set(show.movements.map(({ figure }) => figure)).size).toBeGreaterThanOrEqual(4);
  });

  it('has chases in beats and in seconds', () => {
    const units = show.chases.map(({ steps }) => Object.keys(steps[0]?.length ?? {})[0]);
    expect(new Set(units)).toEqual(new Set(['beats', 'seconds']));
  });

  it('leans no head so far that its beam would come level with faces, wherever a figure is drawn', () => {
    const uses = new Map(show.fixtures.map(({ id, use }) => [id, use]));
    const aims = new Map<string, number>();
    for (const { who, aim } of allParts(show))
      if (aim !== undefined && 'tilt' in aim)
        for (const id of members(show, who)) aims.set(id, Math.max(aims.get(id) ?? 0, Math.abs(aim.tilt)));
    for (const [id, tilt] of aims) expect(tilt, id).toBeLessThanOrEqual(leastSteep[uses.get(id) as 'beam' | 'spot']);
    for (const { who, aim, size } of show.movements)
      for (const id of members(show, who)) {
        if ('width' in size || (aim !== undefined && !('tilt' in aim))) continue;
        const centre = aim === undefined ? (aims.get(id) ?? 0) : Math.abs(aim.tilt);
        expect(centre + size.tilt, id).toBeLessThanOrEqual(leastSteep[uses.get(id) as 'beam' | 'spot']);
      }
  });

  it('asks every lamp only for what it can do', () => {
    for (const { who, strobe, gobo, zoom } of allParts(show))
      for (const id of members(show, who)) {
        const { type, channels } = modeOf(show, id);
        const range = (attribute: string) =>
          channels.flatMap(({ functions }) => functions).find((one) => one.attribute === attribute)?.physical;
        const strobes = range('Shutter1Strobe');
        if (strobe !== undefined && strobe > 0 && strobes !== undefined) expect(strobe).toBeGreaterThanOrEqual(strobes[0]);
        if (gobo !== undefined && range('Gobo1') !== undefined) expect(gobo).toBeLessThanOrEqual(type?.wheels.Gobo1?.length ?? 0);
        const zooms = range('Zoom');
        if (zoom !== undefined && zooms !== undefined) {
          expect(zoom).toBeGreaterThanOrEqual(zooms[0]);
          expect(zoom).toBeLessThanOrEqual(zooms[1]);
        }
      }
  });

  it('takes its walls from the theme', () => {
    const walls = show.chases
      .flatMap(({ steps }) => steps.flatMap(({ parts }) => parts))
      .flatMap(({ colour }) => [colour ?? []].flat());
    expect(walls.length).toBeGreaterThan(0);
    for (const colour of walls) expect(colour).toMatch(/^theme:/);
  });
});

describe('the three demo shows together', () => {
  const shows = demoNames.map(demoShow);

  it('use types of every kind, bars with cells, and a mode with a 16-bit dimmer', () => {
    const used = new Set(shows.flatMap(({ fixtures }) => fixtures.map(({ type }) => type)));
    for (const type of [
      'rgb-par',
      'rgbw-par',
      'six-colour-par',
      'dimmer',
      'blinder-pair',
      'spot-head',
      'beam-head',
      'derby',
      'hazer',
    ])
      expect(used, type).toContain(type);
    for (const bar of ['rgb-bar', 'rgbw-bar', 'pixel-tube']) expect(used, bar).toContain(bar);
    expect(shows.flatMap(({ fixtures }) => fixtures.map(({ mode }) => mode))).toContain('9ch-fine');
  });

  it('adjust lamps one by one: trimmed, held down, turned over, kept within limits', () => {
    const lamps = shows.flatMap(({ fixtures }) => fixtures);
    for (const field of ['trim', 'dim', 'invert', 'limits'] as const)
      expect(lamps.filter((one) => one[field] !== undefined).length, field).toBeGreaterThan(0);
  });

  it('draw every figure there is', () => {
    const figures = new Set(shows.flatMap(({ movements }) => movements.map(({ figure }) => figure)));
    expect(figures).toEqual(new Set(['circle', 'eight', 'sweep', 'drift']));
  });

  it('leave the path lit in every look of the garden', () => {
    const garden = demoShow('garden-party');
    for (const { id, parts } of garden.looks) expect(levels(garden, parts).get('path'), id).toBeGreaterThanOrEqual(0.8);
    for (const { id, parts } of garden.hits) expect(levels(garden, parts).get('path') ?? 1, id).toBeGreaterThanOrEqual(0.8);
  });
});
