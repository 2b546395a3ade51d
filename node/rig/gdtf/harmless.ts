import type { RawChannel } from './channels.ts';

/** A stretch of a channel's values, by what is written on it. */
interface Labelled {
  readonly words: string;
  readonly from: number;
  readonly to: number;
}

/** What nobody wants of a lamp unless a person asks for it: it starts anew, goes through all its positions, goes out or off. */
const isHarmful = ({ words }: Labelled): boolean =>
  /(?<!p)reset|reboot|calibrat|(lamp|power|fixture|light source)[ _-]?off|shut ?down/i.test(words) &&
  !/\b(no|not|without|disabled?)\b/i.test(words);
const isIdle = ({ words }: Labelled): boolean => /nofeature|\b(no|not|none|idle|nothing|unused|normal|safe|lamp on)\b/i.test(words);

/**
 * Where a channel does nothing that by its default resets its lamp or puts it out (annex A: FixtureGlobalReset, LampControl and their like; or by the
 * words of functions and sets). Undefined where it does nothing anyhow, or where all of it is such a thing.
 */
export function harmlessAt({ functions }: RawChannel, standing: number): number | undefined {
  const places = functions.flatMap(({ attribute, name, from, to, sets }): Labelled[] => {
    const words = `${attribute} ${name}`;
    // A set says more than its function, unless it is empty.
    return sets.length === 0
      ? [{ words, from, to }]
      : sets.map((set) => ({ words: set.name ?? words, from: set.from, to: set.to }));
  });
  if (!places.some((one) => isHarmful(one) && standing >= one.from && standing <= one.to)) return undefined;
  const harmless = places.filter((one) => !isHarmful(one));
  return (harmless.find(isIdle) ?? harmless[0])?.from;
}
