import type { z } from 'zod';
import { itemKinds, type Show, type showDocument } from '../../node/show/document.ts';
import { checkShow } from '../../node/show/read.ts';

type Document = z.input<typeof showDocument>;
type Listed<Key extends keyof Document> = NonNullable<Document[Key]> extends readonly (infer One)[] ? One : never;
/** A row of the document that need not say its name: it is called as its id. */
type Short<Row> = Row extends { name: string } ? Omit<Row, 'name'> & { name?: string } : Row;
type ShortLists = {
  [Key in 'fixtures' | 'groups' | 'looks' | 'chases' | 'movements' | 'hits' | 'buttons' | 'moments']?: readonly Short<
    Listed<Key>
  >[];
};

export type TinyShow = ShortLists &
  Partial<Pick<Document, 'start' | 'masters' | 'tempo' | 'fixtureTypes' | 'theme' | 'fallback' | 'landmarks'>>;
type Fixture = Short<Listed<'fixtures'>>;

/** Everything that can play has a button with its own id besides those that are given. Read by the real reader. */
export function tinyShow(rest: TinyShow): Show {
  const {
    fixtures = [dimmer('lamp', 1)],
    groups = [],
    looks = [],
    chases = [],
    movements = [],
    hits = [],
    buttons = [],
    moments = [],
    ...others
  } = rest;
  // A document wants at least one look.
  const allLooks = looks.length > 0 ? looks : [{ id: 'nothing', parts: [{ who: everybody, level: 0 }] }];
  const lists = { look: allLooks, chase: chases, movement: movements, hit: hits };
  const own = itemKinds.flatMap((kind) => lists[kind].map(({ id }) => ({ id, starts: [{ [kind]: id }] })));
  return checkShow({
    format: 'duskhand-show',
    version: 4,
    id: 'tiny',
    name: 'Tiny',
    theme: { name: 'None', colours: [] },
    fixtures: named(fixtures),
    groups: named(groups),
    looks: named(allLooks),
    chases: named(chases),
    movements: named(movements),
    hits: named(hits),
    buttons: named([...own, ...buttons]),
    moments: named(moments),
    ...others,
  });
}

export const everybody = [{ all: true as const }];
export const only = (fixture: string) => [{ fixture }];

/** One slot. */
export const dimmer = (id: string, address: number): Fixture => place(id, 'dimmer', '1ch', address);
/** Slots: dimmer, red, green, blue, white, strobe. */
export const par = (id: string, address: number): Fixture => place(id, 'rgbw-par', '6ch', address);
/** Slots: pan, pan fine, tilt, tilt fine, dimmer, dimmer fine, shutter, red, green, blue, white, zoom. */
export const head = (id: string, address: number): Fixture => place(id, 'beam-head', '12ch', address);

export const place = (id: string, type: string, mode: string, address: number, universe = 1): Fixture => ({
  id,
  type,
  mode,
  universe,
  address,
  use: 'uplight',
});

const named = <Row extends { id: string; name?: string }>(rows: readonly Row[]) => rows.map((row) => ({ name: row.id, ...row }));
