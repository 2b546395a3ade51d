import { ColourNames } from '../../../../node/light/colour-names.ts';

/** A colour that a theme might have. */
export interface Proposal {
  readonly name: string;
  readonly value: string;
}

const plain = new ColourNames([]);

/** Colours under names of their own: none of the theme's, and no two alike. A name goes by what the colour is as light, so several may share a word. */
export function proposalsOf(packed: readonly number[], theme: readonly { readonly name: string }[]): Proposal[] {
  const taken = new Set(theme.map(({ name }) => name.toLowerCase()));
  return packed.map((one) => {
    const name = freeName(plain.nameOf(one), taken);
    taken.add(name.toLowerCase());
    return { name, value: `#${one.toString(16).padStart(6, '0')}` };
  });
}

/** `Coral`, or `Coral 2` where there is one of that name. */
function freeName(word: string, taken: ReadonlySet<string>): string {
  const base = `${word.charAt(0).toUpperCase()}${word.slice(1)}`;
  let name = base;
  for (let i = 2; taken.has(name.toLowerCase()); i++) name = `${base} ${i}`;
  return name;
}
