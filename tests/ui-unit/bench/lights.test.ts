import { describe, expect, it } from 'vitest';
import { sizesOf } from '../../../node/plan/patch/free-places.ts';
import { footprints } from '../../../node/rig/fixture-type.ts';
import { library } from '../../../node/rig/library.ts';
import type { AskedChange } from '../../../node/show/change.ts';
import { type Show, showDocument } from '../../../node/show/document.ts';
import { applyEdit } from '../../../node/show/edit.ts';
import { faultsOf } from '../../../node/show/faults.ts';
import { adding, duplicates, type Light, mending, moving, newLights, retyping } from '../../../ui/src/bench/lights/making.ts';
import { countedNames } from '../../../ui/src/bench/lights/names.ts';
import { findLights, standsAt } from '../../../ui/src/bench/lights/words.ts';

describe('Names that count up', () => {
  it.each([
    ['Uplight', 3, [], ['Uplight 1', 'Uplight 2', 'Uplight 3']],
    ['Uplight', 2, ['Uplight 1', 'uplight 7', 'Totem 9'], ['Uplight 8', 'Uplight 9']],
    ['Uplight', 1, [], ['Uplight']],
    ['Uplight', 1, ['Uplight'], ['Uplight 1']],
    ['Uplight 5', 2, ['Uplight 1', 'Uplight 6'], ['Uplight 5', 'Uplight 7']],
    ['  North wall ', 2, [], ['North wall 1', 'North wall 2']],
  ])('%s, %i of them, beside %j', (base, count, taken, names) => {
    expect(countedNames(base, count, taken)).toEqual(names);
  });

  it('are never longer than a name may be', () => {
    for (const name of countedNames('x'.repeat(200), 1000, [])) expect(name.length).toBeLessThanOrEqual(80);
  });
});

const empty = showDocument.parse({ format: 'duskhand-show', version: 4, id: 'new', name: 'New', theme: { name: 'None' } });
const done = (show: Show, changes: AskedChange[] | undefined): Show => {
  const made = applyEdit(show, changes ?? []);
  if ('clashes' in made) throw new Error(JSON.stringify(made.clashes));
  return made.show;
};
const sizes = (type: string, mode: string) => sizesOf({ type, mode }, []) ?? [];
const uplights = { type: 'battery-uplight', mode: '7ch', sizes: sizes('battery-uplight', '7ch'), use: 'uplight' } as const;
const add = (show: Show, name: string, count: number, more = {}): Show =>
  done(show, adding(newLights(show, { ...uplights, name, count, ...more }) ?? []));
const at = (show: Show) => show.fixtures.map((one) => `${one.id} ${standsAt(one, show)}`);
const faults = (show: Show) => faultsOf(show).filter(({ kind }) => kind === 'fixture');

describe('Lights', () => {
  it('are added twelve at once, and go on from what is there', () => {
    const twelve = add(empty, 'Uplight', 12);
    expect(at(twelve).slice(0, 2)).toEqual(['uplight-1 1.1–7', 'uplight-2 1.8–14']);
    expect(twelve.fixtures.map(({ name }) => name).at(-1)).toBe('Uplight 12');
    const more = add(twelve, 'Uplight', 2, { from: { universe: 1, address: 1 } });
    expect(at(more).slice(-2)).toEqual(['uplight-13 1.85–91', 'uplight-14 1.92–98']);
    expect(faults(more)).toEqual([]);
  });

  it('whose names hold nothing that an id may have get ids all the same', () => {
    expect(add(empty, '灯', 2).fixtures.map(({ id }) => id)).toEqual(['1', '2']);
    expect(add(empty, '灯', 1).fixtures.map(({ id }) => id)).toEqual(['light']);
  });

  it('that are chosen are moved one behind the other, between those that stay', () => {
    const show = add(empty, 'Uplight', 4);
    const chosen = [show.fixtures[0], show.fixtures[3]] as Light[];
    expect(at(done(show, moving(show, chosen, { universe: 2, address: 1 })))).toEqual([
      'uplight-1 2.1–7',
      'uplight-2 1.8–14',
      'uplight-3 1.15–21',
      'uplight-4 2.8–14',
    ]);
    expect(at(done(show, moving(show, chosen, { universe: 1, address: 5 })))[0]).toBe('uplight-1 1.22–28');
  });

  it('that clash are mended by one edit, and those that stand well stay', () => {
    const show = add(empty, 'Uplight', 3);
    const set = (id: string, field: string, was: unknown, now?: unknown): AskedChange =>
      ({ do: 'set', kind: 'fixture', id, field, was, ...(now === undefined ? {} : { now }) }) as AskedChange;
    const spoilt = done(show, [set('uplight-2', 'address', 8, 3), set('uplight-3', 'address', 15)]);
    expect(faults(spoilt)).toHaveLength(2);
    const mended = done(spoilt, mending(spoilt));
    expect(faults(mended)).toEqual([]);
    expect(at(mended)).toEqual(['uplight-1 1.1–7', 'uplight-2 1.8–14', 'uplight-3 1.15–21']);
    expect(mending(mended)).toEqual([]);
  });

  it('are doubled with all that was set of them, but for name and address', () => {
    const show = add(empty, 'Uplight', 2);
    const [first] = show.fixtures as [Light];
    const dimmed = done(show, [{ do: 'set', kind: 'fixture', id: first.id, field: 'dim', now: 0.5 }]);
    const after = done(dimmed, adding(duplicates(dimmed, dimmed.fixtures) ?? []));
    expect(after.fixtures[2]).toMatchObject({ id: 'uplight-3', name: 'Uplight 3', dim: 0.5, universe: 1, address: 15 });
    expect(after.fixtures[3]).toMatchObject({ name: 'Uplight 4', address: 22 });
    expect(faults(after)).toEqual([]);
  });

  it('that become another type lose only what that cannot be adjusted in', () => {
    const show = add(empty, 'Head', 1, { type: 'wash-head', mode: '14ch', sizes: sizes('wash-head', '14ch') });
    const adjusted = done(show, [
      { do: 'set', kind: 'fixture', id: 'head', field: 'invert', now: { pan: true, tilt: false } },
      { do: 'set', kind: 'fixture', id: 'head', field: 'trim', now: { ColorAdd_G: 0.8, ColorAdd_W: 0.9 } },
      { do: 'set', kind: 'fixture', id: 'head', field: 'limits', now: { pan: [-90, 90] } },
    ]);
    const is = library.get('rgb-par')?.modes.find(({ id }) => id === '3ch');
    const to = { type: 'rgb-par', mode: '3ch', sizes: is === undefined ? [] : footprints(is).map(({ size }) => size), is };
    const after = done(adjusted, retyping(adjusted, adjusted.fixtures, to));
    expect(faults(after)).toEqual([]);
    expect(after.fixtures[0]).toEqual({
      id: 'head',
      order: 'i',
      name: 'Head',
      type: 'rgb-par',
      mode: '3ch',
      universe: 1,
      address: 1,
      use: 'uplight',
      trim: { ColorAdd_G: 0.8 },
    });
  });

  it('are found by name, use, type and universe', () => {
    const show = add(add(empty, 'North wall', 2), 'Totem', 1, { use: 'totem', from: { universe: 2, address: 1 } });
    const ids = (text: string) => findLights(show, text).map(({ id }) => id);
    expect(ids('north')).toEqual(['north-wall-1', 'north-wall-2']);
    expect(ids('totem')).toEqual(['totem']);
    expect(ids('battery 7')).toHaveLength(3);
    expect(ids('2.1')).toEqual(['totem']);
    expect(ids('nothing')).toEqual([]);
  });
});
