import { describe, expect, it } from 'vitest';
import { changesLight } from '../../node/playback/changes-light.ts';
import { type CompiledShow, compileShow } from '../../node/playback/compile.ts';
import type { AskedChange, Change } from '../../node/show/change.ts';
import { changesBetween } from '../../node/show/compare.ts';
import type { Show } from '../../node/show/document.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { type Kind, type ListKind, listKinds, listOf, topOf } from '../../node/show/things.ts';
import { demoShow } from '../show/demo-show.ts';

const barn = demoShow('barn-wedding');

function madeOf(...asked: AskedChange[]): { readonly show: Show; readonly changes: readonly Change[] } {
  const done = applyEdit(barn, asked);
  if ('clashes' in done) throw new Error('clashed');
  return { show: done.show, changes: changesBetween(barn, done.show) };
}
const set = (kind: Kind, field: string, now: unknown): AskedChange => {
  const thing = kind === 'show' ? topOf(barn) : listOf(barn, kind)[0];
  const { id, [field]: was } = thing as { id: string } & Record<string, unknown>;
  return { do: 'set', kind, id, field, ...(was === undefined ? {} : { was }), now };
};
/** One place down. */
const moved = (kind: Exclude<ListKind, 'fixtureType'>): AskedChange => {
  const [first, second] = listOf(barn, kind) as readonly { id: string; order?: string }[];
  return { do: 'move', kind, id: first?.id ?? '', was: first?.order ?? '', after: second?.id ?? null };
};
/** What the compiler makes of a show, but for what it is called; buttons, items and groups by their keys. */
const plays = ({ show: _, ...compiled }: CompiledShow): string =>
  JSON.stringify(compiled, (key, value) => {
    if (['name', 'notes', 'called', 'maker', 'order'].includes(key)) return undefined;
    if (key === 'groups' && Array.isArray(value)) return [...(value as { id: string }[])].sort((a, b) => (a.id < b.id ? -1 : 1));
    if (value instanceof Map)
      return [...value].map((one) => one as [unknown, unknown]).sort(([a], [b]) => (String(a) < String(b) ? -1 : 1));
    if (ArrayBuffer.isView(value)) return [...(value as Float64Array)];
    return typeof value === 'function' ? undefined : value;
  });

describe('A change that is but words', () => {
  const named = listKinds.filter((kind) => listOf(barn, kind).length > 0);
  it.each([
    ...named.map((kind) => [`the name of a ${kind}`, set(kind, 'name', 'Quite another name')] as const),
    ...named
      .filter((kind) => !['fixture', 'fixtureType', 'landmark', 'moment'].includes(kind) && listOf(barn, kind).length > 1)
      .map((kind) => [`the place of a ${kind} in its list`, moved(kind as 'look')] as const),
    ['the line of a button', set('button', 'line', 'Something that guests see')] as const,
    ['the buttons of a moment', set('moment', 'buttons', [])] as const,
    ['the notes of a show', set('show', 'notes', 'Doors at six.')] as const,
    ['the name of a show', set('show', 'name', 'Harvest supper')] as const,
  ])('does not change light, and the compiler sees none of it: %s', (_what, change) => {
    const { show, changes } = madeOf(change);
    expect(changes.length).toBeGreaterThan(0);
    expect(changesLight(changes)).toBe(false);
    expect(plays(compileShow(show))).toBe(plays(compileShow(barn)));
  });

  it.each([
    ['a colour of the theme', set('themeColour', 'value', '#123456')],
    ['what a look does', set('look', 'parts', [])],
    ['a fade', set('look', 'fade', 9)],
    ['the tempo', set('show', 'tempo', 99)],
    ['masters', set('show', 'masters', { all: 0.5, groups: {} })],
    ['what a button starts', set('button', 'starts', [])],
    ['the order of lights', moved('fixture')],
    ['the order of places', moved('landmark')],
    ['the order of moments', moved('moment')],
    ['what begins with a moment', set('moment', 'starts', [{ look: 'candlelight' }])],
    ['that a moment begins by itself', set('moment', 'automatic', true)],
    ['lights of a group', set('group', 'fixtures', [])],
  ])('is not this: %s', (_what, change) => {
    const { show, changes } = madeOf(change);
    expect(changesLight(changes)).toBe(true);
    expect(plays(compileShow(show))).not.toBe(plays(compileShow(barn)));
  });

  it('is none where something comes or goes, or where one of several is more than words', () => {
    const add: AskedChange = { do: 'add', kind: 'look', id: 'another', now: { id: 'another', name: 'Another', parts: [] } };
    expect(changesLight(madeOf(add).changes)).toBe(true);
    expect(changesLight(madeOf(set('look', 'name', 'Other'), set('look', 'fade', 9)).changes)).toBe(true);
    expect(changesLight([])).toBe(false);
  });
});
