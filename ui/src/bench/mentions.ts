import { listed } from '../../../node/core/words.ts';
import type { Mention } from '../../../node/show/take-out.ts';

/** What else goes otherwise when a thing is taken out, each as a clause: `the button Dinner does without it`. */
export function clausesOf(mentions: readonly Mention[]): string[] {
  const going = mentions.filter(({ what }) => what === 'goes').map(({ name }) => name);
  const goes =
    going.length === 0
      ? []
      : [
          `the ${going.length === 1 ? 'button' : 'buttons'} ${listed(going)}, with nothing else to start, ${going.length === 1 ? 'goes' : 'go'} too`,
        ];
  return [...goes, ...mentions.filter(({ what }) => what !== 'goes').flatMap((one) => clauseOf(one, going.length))];
}

function clauseOf({ kind, name, fields, what }: Mention, going: number): string[] {
  if (kind === 'show')
    return [
      ...(fields.includes('start') ? ['the show starts without it'] : []),
      ...(fields.includes('fallback') ? ['without a phone the room goes dark instead of coming to it'] : []),
    ];
  if (kind === 'moment' && fields.includes('buttons')) return [`the moment ${name} loses ${going > 1 ? 'buttons' : 'a button'}`];
  return [what === 'emptied' ? `the ${kind} ${name} has nothing left to do` : `the ${kind} ${name} does without it`];
}

/** `“Dinner” and 2 more looks speak of it`, or nothing where nothing does: for what many things speak of, as of a light. */
export function mentionsInWords(mentions: readonly Mention[], it: string): string[] {
  const own = mentions.filter(({ kind }) => kind !== 'show');
  if (mentions.length === 0) return [];
  const kinds = [...new Set(own.map(({ kind }) => kind))];
  const by = kinds.map((kind) => {
    const names = own.filter((one) => one.kind === kind).map(({ name }) => `“${name}”`);
    return names.length > 2 ? `${names[0]} and ${names.length - 1} more ${plurals[kind] ?? kind}` : listed(names);
  });
  const emptied = own.filter(({ what }) => what === 'emptied').map(({ name }) => `“${name}”`);
  const shown = emptied.length > 3 ? [...emptied.slice(0, 2), `${emptied.length - 2} more`] : emptied;
  const show = mentions.length > own.length ? ['what the show starts and falls back to'] : [];
  return [
    `${listed([...by, ...show])} ${mentions.length === 1 ? 'speaks' : 'speak'} of ${it}; ${mentions.length === 1 ? 'that goes' : 'those go'} on without.`,
    ...(emptied.length === 0
      ? []
      : [
          `${listed(shown)} ${emptied.length === 1 ? 'has' : 'have'} nothing left then, and must be mended before the show can be played.`,
        ]),
  ];
}

const plurals: Readonly<Record<string, string>> = {
  group: 'groups',
  look: 'looks',
  chase: 'chases',
  movement: 'movements',
  hit: 'hits',
  moment: 'moments',
};
