import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { SHOW_VERSION } from '../../node/show/document.ts';
import { faultsOf } from '../../node/show/faults.ts';
import { checkShow, parseJson, readDraft, showSchema } from '../../node/show/read.ts';
import { demoNames, demoText } from './demo-show.ts';
import { type Spoilable, smallShow } from './small-show.ts';

const validate = new Ajv2020().compile(showSchema());

type Change = (holder: Spoilable, key: string) => void;

const junk = fc.oneof(
  { weight: 3, arbitrary: fc.jsonValue({ maxDepth: 3 }) },
  fc.constantFrom<unknown>(
    -1,
    0,
    1,
    0.5,
    1e308,
    -0,
    64000,
    '',
    ' ',
    '#ffffff',
    'theme:cream',
    'all',
    '__proto__',
    'constructor',
    null,
    [],
    {},
  ),
);

const change: fc.Arbitrary<Change> = fc.oneof(
  fc.constant<Change>((holder, key) => (Array.isArray(holder) ? holder.splice(Number(key), 1) : delete holder[key])),
  junk.map(
    (value): Change =>
      (holder, key) => {
        holder[key] = value;
      },
  ),
  fc.constant<Change>((holder, key) => (Array.isArray(holder) ? holder.push(holder[Number(key)]) : undefined)),
  fc.tuple(fc.constantFrom('x', 'constructor', 'toString', 'id', 'level', 'look', 'use'), junk).map(
    ([name, value]): Change =>
      (holder) => {
        if (!Array.isArray(holder)) holder[name] = value;
      },
  ),
);

/** Walks down by the numbers given, as far as there is anything to walk into, and changes what stands there. */
function changeAt(document: Spoilable, steps: readonly number[], apply: Change): void {
  let holder = document;
  for (const [i, step] of steps.entries()) {
    const keys = Object.keys(holder);
    if (keys.length === 0) return;
    const key = keys[step % keys.length] as string;
    const inner = holder[key];
    if (i === steps.length - 1 || typeof inner !== 'object' || inner === null) {
      apply(holder, key);
      return;
    }
    holder = inner;
  }
}

const changes = fc.array(fc.tuple(fc.array(fc.nat(1000), { minLength: 1, maxLength: 8 }), change), { minLength: 1, maxLength: 3 });
const small = JSON.stringify(smallShow());
const documents = [small, ...demoNames.map(demoText)];
/** Most of the time the small one: a change is as likely to hit any of its fields, and it is read a hundred times as fast. */
const mostlySmall = fc.oneof({ weight: 3, arbitrary: fc.constant(small) }, fc.constantFrom(...documents));

/** The show, or undefined for one refused in the reader's own way; whatever else is thrown passes through. */
function acceptedOrRefused(run: () => ReturnType<typeof checkShow>) {
  try {
    return run();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    expect(error.message).not.toBe('');
    expect(error.problems.length).toBeGreaterThan(0);
    for (const { path, message } of error.problems) {
      expect(typeof path).toBe('string');
      expect(message).not.toMatch(/^$|undefined|NaN|\[object|Invalid input/);
    }
    return undefined;
  }
}

describe('a valid show that somebody changed at random', () => {
  it('is accepted or refused with what is wrong, never anything else', () => {
    fc.assert(
      fc.property(mostlySmall, changes, (text, list) => {
        const document = JSON.parse(text);
        for (const [steps, apply] of list) changeAt(document, steps, apply);
        const draft = acceptedOrRefused(() => readDraft(document).show);
        const show = acceptedOrRefused(() => checkShow(document));
        if (draft === undefined) return;
        // What the reader lets in, the published schema lets in too, unless it is older; the player can make ready what has no faults.
        if (document.version === SHOW_VERSION) expect(validate(document)).toBe(true);
        expect(faultsOf(draft).length === 0).toBe(show !== undefined);
        if (show !== undefined) expect(() => compileShow(show)).not.toThrow();
      }),
      { numRuns: 300 },
    );
  });

  it('is accepted or refused when characters of its text are lost or changed', () => {
    fc.assert(
      fc.property(fc.nat(small.length - 1), fc.nat(3), fc.string({ maxLength: 3 }), (at, lost, instead) => {
        acceptedOrRefused(() => checkShow(parseJson(small.slice(0, at) + instead + small.slice(at + lost))));
      }),
      { numRuns: 300 },
    );
  });

  it('comes back the same when it is written out and read again', () => {
    for (const text of documents) {
      const show = checkShow(parseJson(text));
      expect(checkShow(parseJson(JSON.stringify(show)))).toEqual(show);
    }
  });
});
