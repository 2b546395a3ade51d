import { z } from 'zod';
import { InputError } from '../../core/errors.ts';
import { readAs } from '../../core/explain.ts';
import { universeNumber } from '../../core/output-settings.ts';
import type { Universe } from '../../core/units.ts';
import { fixtureType, footprints } from '../../rig/fixture-type.ts';
import { typesWith } from '../../rig/library.ts';
import { carryTypes, type TypeLookup } from '../../show/carry-types.ts';
import { checkShow, parseJson } from '../../show/read.ts';
import { type Place, planAddresses, type Wanted } from './addresses.ts';
import { clashesOf } from './clashes.ts';
import { type PatchPlan, type PlannedLamp, patchInWords } from './words.ts';

/** As much of a show as addressing needs: it may lack addresses, and they may clash. */
const patchable = z.looseObject({
  fixtureTypes: z.array(fixtureType).default([]),
  fixtures: z
    .array(
      z.looseObject({
        id: z.string().min(1),
        name: z.string(),
        type: z.string(),
        mode: z.string(),
        universe: universeNumber.optional(),
        address: z.int().min(1).max(512).optional(),
        further: z.array(z.looseObject({ universe: universeNumber, address: z.int().min(1).max(512) })).optional(),
      }),
    )
    .min(1)
    .max(2000),
});

export interface PatchOptions {
  /** Gives every lamp a new address; otherwise those that stand without a clash keep theirs. */
  readonly afresh: boolean;
  /** Free slots between kinds. */
  readonly gap: number;
}

/**
 * Addresses for the lamps of a show document.
 * @throws InputError for what is no show, a lamp of no known type or mode, one for which there is no room, or any other mistake in it
 */
export function planPatch(json: unknown, { afresh, gap }: PatchOptions): PatchPlan {
  const read = readAs(patchable, json, 'The patch has mistakes');
  const types = typesWith(read.fixtureTypes);
  const lamps = read.fixtures.map((one, i): Lamp => {
    const { id, name, type, mode: modeId } = one;
    const mode = types.get(type)?.modes.find((other) => other.id === modeId);
    if (mode === undefined)
      throw new InputError('The patch has mistakes', [
        { path: `fixtures[${i}]`, message: `there is no fixture type "${type}" with a mode "${modeId}"` },
      ]);
    const before = [placeOf(one), ...(one.further ?? [])];
    return { id, name, type, mode: modeId, starts: footprints(mode).map(({ size }, k) => ({ size, before: before[k] })) };
  });
  const wanted = lamps.flatMap(({ id, type, mode, starts }) =>
    starts.map(
      ({ size, before }, k): Wanted => ({
        id: startId(id, k),
        kind: `${type} ${mode} ${k}`,
        size,
        at: afresh ? undefined : before,
      }),
    ),
  );
  const { places, left } = planAddresses(wanted, universesFor(lamps), gap);
  if (left.length > 0) throw new InputError(`There is no room for ${[...new Set(left.map(lampOf))].join(', ')}`);

  const planned = lamps.flatMap(({ id, name, type, mode, starts }) =>
    starts.map(({ size, before }, k): PlannedLamp => {
      const place = places.get(startId(id, k)) as Place;
      return { id, name: k === 0 ? name : `${name}, address ${k + 1}`, type, mode, size, before, ...place };
    }),
  );
  const { fixtures } = json as { fixtures: object[] };
  const document = { ...(json as object), fixtures: fixtures.map((one, i) => placedAnew(one, lamps[i] as Lamp, places)) };
  checkShow(document);
  const clashes = clashesOf(
    planned.flatMap(({ name, size, before }) => (before === undefined || size === 0 ? [] : [{ id: name, size, ...before }])),
  );
  return { lamps: planned, clashes, document };
}

/** A lamp with what it needs from each of its start addresses on. */
interface Lamp {
  readonly id: string;
  readonly name: string;
  readonly type: string;
  readonly mode: string;
  readonly starts: readonly { readonly size: number; readonly before: Place | undefined }[];
}

/** Ids have no blanks. */
const startId = (id: string, start: number): string => `${id} ${start}`;
const lampOf = (start: string): string => start.split(' ')[0] as string;

function placedAnew(fixture: object, { id, starts }: Lamp, places: ReadonlyMap<string, Place>): object {
  const [first, ...further] = starts.map((_, k) => places.get(startId(id, k)) as Place);
  const { further: _, ...rest } = fixture as { readonly further?: unknown };
  return { ...rest, universe: first?.universe, address: first?.address, ...(further.length > 0 && { further }) };
}

/** As {@link planPatch}, from the text of a show file: what to tell, and the file with the new addresses. */
export function patchShow(
  text: string,
  options: PatchOptions,
  types: TypeLookup = () => undefined,
): { readonly words: string; readonly json: string } {
  const plan = planPatch(carryTypes(parseJson(text), types), options);
  return { words: patchInWords(plan), json: `${JSON.stringify(plan.document, null, 2)}\n` };
}

const placeOf = ({ universe, address }: { universe?: Universe | undefined; address?: number | undefined }): Place | undefined =>
  universe === undefined || address === undefined ? undefined : { universe, address };

/** Those that the show uses, then as many more as could be wanted: no lamp takes more than a universe. */
function universesFor(lamps: readonly Lamp[]): Universe[] {
  const starts = lamps.flatMap((lamp) => lamp.starts);
  const used = [...new Set(starts.flatMap(({ before }) => before?.universe ?? []))].sort((a, b) => a - b);
  const more: Universe[] = [];
  for (let universe = 1; more.length < starts.length; universe++) if (!used.includes(universe)) more.push(universe);
  return [...used, ...more];
}
