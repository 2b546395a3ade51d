import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { Levels } from '../../../node/core/levels.ts';
import { Encoder } from '../../../node/dmx/encode.ts';
import { footprint } from '../../../node/rig/fixture-type.ts';
import { readDescription } from '../../../node/rig/gdtf/read.ts';
import { Offline, press } from '../../helpers/offline.ts';
import { everybody, place, tinyShow } from '../../helpers/tiny-show.ts';

type Part = NonNullable<Parameters<typeof tinyShow>[0]['looks']>[number]['parts'][number];
type Slots = Readonly<Record<number, number | readonly [least: number, most: number]>>;
export interface Asked {
  readonly mode?: string;
  readonly ask: Omit<Part, 'who'>;
  readonly gives: Slots;
  /** Of the universe of the second start address. */
  readonly second?: Slots;
}

/** First slots of both start addresses, in universes of their own. */
const [FIRST, SECOND] = [1, 2];

function slotsOf(file: string, { mode, ask }: Asked): { readonly first: Uint8Array; readonly second: Uint8Array | undefined } {
  const type = readDescription(readFileSync(new URL(`foreign/${file}.xml`, import.meta.url), 'utf8'));
  const wanted = type.modes.find(({ id }) => id === mode) ?? type.modes[0];
  if (wanted === undefined || footprint(wanted) > 512) throw new Error(`${file} has no mode ${mode}`);
  const isTwice = wanted.channels.some((channel) => 'break' in channel && channel.break === 2);
  const lamp = {
    ...place('lamp', type.id, wanted.id, 1),
    use: type.kind ?? ('uplight' as const),
    ...(isTwice && { further: [{ universe: SECOND, address: 1 }] }),
  };
  const show = tinyShow({
    fixtureTypes: [type],
    fixtures: [lamp],
    looks: [{ id: 'asked', fade: 0, parts: [{ who: everybody, ...ask }] }],
  });
  const offline = new Offline(show, [[0, press('asked')]]);
  const { rig } = offline.show;
  const levels = new Levels(rig.universes);
  Encoder.for(rig, levels).encode(offline.frame(1000));
  return { first: levels.snapshot(FIRST), second: levels.has(SECOND) ? levels.snapshot(SECOND) : undefined };
}

function expectSlots(slots: Uint8Array | undefined, gives: Slots): void {
  for (const [slot, wanted] of Object.entries(gives)) {
    const found = slots?.[Number(slot) - 1] ?? Number.NaN;
    const [least, most] = typeof wanted === 'number' ? [wanted, wanted] : wanted;
    expect(found, `slot ${slot}`).toBeGreaterThanOrEqual(least);
    expect(found, `slot ${slot}`).toBeLessThanOrEqual(most);
  }
}

/** Each of these files in what is asked of it. */
export function givesItsSlots(files: Readonly<Record<string, readonly Asked[]>>): void {
  describe.each(Object.keys(files))('the file %s', (file) => {
    it.each((files[file] ?? []).map((row) => ({ ...row, what: JSON.stringify(row.ask), in: row.mode ?? 'its first mode' })))(
      'gives what it should for $what in $in',
      (row) => {
        const { first, second } = slotsOf(file, row);
        expectSlots(first, row.gives);
        if (row.second !== undefined) expectSlots(second, row.second);
      },
    );
  });
}
