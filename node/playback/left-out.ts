import { type AttributeName, attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { counted, listed } from '../core/words.ts';
import { cellsOf, type Rig, type RigFixture } from '../rig/rig.ts';

/** So many of them are called by their names. */
const MOST_NAMED = 3;

/** What a taken look leaves out because it needs a person. */
const kinds = [
  { words: 'haze and fog', is: (name: AttributeName) => attribute(name).hazes === true },
  { words: 'strobe', is: (name: AttributeName) => attribute(name).unit === 'hertz' },
  {
    words: 'what turns by itself',
    is: (name: AttributeName) =>
      attribute(name).needsPerson === true && attribute(name).hazes !== true && attribute(name).unit !== 'hertz',
  },
] as const;

/** What of a frame a taken look leaves out, a sentence for each kind of it. @param nameOf what people call a fixture */
export function leftOut(rig: Rig, frame: Frame, fixtures: readonly RigFixture[], nameOf: (id: string) => string): string[] {
  const asks = (fixture: RigFixture, is: (name: AttributeName) => boolean): boolean =>
    cellsOf(fixture).some(([name, cell]) => is(name) && frame[cell] !== rig.rest[cell]);
  const said = (words: string, of: readonly RigFixture[]): string[] =>
    of.length === 0
      ? []
      : [
          `Left out, as it needs a person: ${words} (${named(
            of.map(({ id }) => id),
            nameOf,
          )}).`,
        ];
  const lit = fixtures.filter(({ use }) => use !== 'laser');
  const lasers = fixtures.filter((one) => one.use === 'laser' && asks(one, () => true));
  return [
    ...kinds.flatMap(({ words, is }) =>
      said(
        words,
        lit.filter((one) => asks(one, is)),
      ),
    ),
    ...said('lasers', lasers),
  ];
}

/** `Par 1 and Par 2`, or `12 lights`. */
export const named = (ids: readonly string[], nameOf: (id: string) => string): string =>
  ids.length > MOST_NAMED ? counted(ids.length, 'light') : listed(ids.map(nameOf));
