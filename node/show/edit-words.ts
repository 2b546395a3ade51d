import { listed } from '../core/words.ts';
import type { Change } from './change.ts';
import type { Show } from './document.ts';
import { type Kind, listOf } from './things.ts';

export const kindWords: Readonly<Record<Kind, string>> = {
  show: 'show',
  themeColour: 'theme colour',
  fixtureType: 'lamp type',
  fixture: 'light',
  group: 'group',
  landmark: 'place',
  look: 'look',
  chase: 'chase',
  movement: 'movement',
  hit: 'hit',
  button: 'button',
  moment: 'moment',
};

/** Fields that a person would not call by their own name. */
const fieldWords: Readonly<Record<string, string>> = {
  order: 'place',
  who: 'lights',
  parts: 'lights',
  at: 'time',
  line: 'words below',
  starts: 'start',
  stops: 'stop',
  value: 'colour',
  aim: 'direction',
  pose: 'place in the room',
  swapPanTilt: 'swapped pan and tilt',
  modes: 'channels',
  fixtures: 'lights',
  dim: 'most light',
  further: 'further addresses',
  dimming: 'dimming curve',
  strength: 'brightness beside others',
};

const MOST_FIELDS = 3;
const MOST_THINGS = 3;

/** An edit in plain words, for a history: "colour of Dinner". @param show as it is after the edit. */
export function inWords(changes: readonly Change[], show: Show): string {
  const things = new Map<string, Change[]>();
  for (const change of changes) {
    const key = `${change.kind}:${change.id}`;
    things.set(key, [...(things.get(key) ?? []), change]);
  }
  const words = crowdsOf([...things.values()]).map((own) => {
    const [first] = own;
    if (first === undefined || own.length === 1) return thingInWords(first ?? [], show);
    const { do: what, kind } = first[0] as Change;
    const many = `${own.length} ${what === 'add' ? 'new ' : ''}${kindWords[kind]}s`;
    return what === 'add' ? many : `${many} taken out`;
  });
  const more = words.length - MOST_THINGS;
  return more > 0 ? `${words.slice(0, MOST_THINGS).join('; ')}; and ${more} more` : words.join('; ');
}

/** Things one by one; those of a kind that came or went together, where they are many, as one. */
function crowdsOf(things: readonly (readonly Change[])[]): (readonly (readonly Change[])[])[] {
  const crowds = new Map<string, (readonly Change[])[]>();
  for (const [i, own] of things.entries()) {
    const { do: what, kind } = own[0] as Change;
    const key = what === 'set' ? `${i}` : `${what} ${kind}`;
    crowds.set(key, [...(crowds.get(key) ?? []), own]);
  }
  return [...crowds.values()].flatMap((crowd) => (crowd.length > MOST_THINGS ? [crowd] : crowd.map((own) => [own])));
}

function thingInWords(changes: readonly Change[], show: Show): string {
  const [first] = changes;
  if (first === undefined) return '';
  if (first.do === 'add') return `new ${kindWords[first.kind]} ${nameIn(first.now)}`;
  if (first.do === 'drop') return `${kindWords[first.kind]} ${nameIn(first.was)} taken out`;
  return `${fieldsInWords(changes)} of ${nameOf(first, show)}`;
}

/** What of one thing is otherwise: `colour and fade`. */
export function fieldsInWords(changes: readonly Change[]): string {
  const fields = changes.flatMap((change) => (change.do === 'set' ? changedIn(change.field, change.was, change.now) : []));
  const all = [...new Set(fields)].map((field) => fieldWords[field] ?? spaced(field));
  return all.length > MOST_FIELDS ? `${all.slice(0, MOST_FIELDS - 1).join(', ')} and more` : listed(all);
}

/** The field; or where it is a list of parts, and only some fields of the parts differ, those: people speak of a look's colour. */
function changedIn(field: string, was: unknown, now: unknown): string[] {
  if (field !== 'parts' && field !== 'steps') return [field];
  if (!Array.isArray(was) || !Array.isArray(now) || was.length !== now.length) return [field];
  return was.flatMap((one: Record<string, unknown>, i) => {
    const other = now[i] as Record<string, unknown>;
    const differing = Object.keys({ ...one, ...other }).filter((key) => JSON.stringify(one[key]) !== JSON.stringify(other[key]));
    return differing.flatMap((key) => changedIn(key, one[key], other[key]));
  });
}

function nameOf({ kind, id }: Change, show: Show): string {
  if (kind === 'show') return 'the show';
  return listOf(show, kind).find((one) => one.id === id)?.name ?? id;
}

export const nameIn = ({ name, id }: { readonly name?: unknown; readonly id: string }): string =>
  typeof name === 'string' ? name : id;

/** `fadeOut` as `fade out`. */
const spaced = (field: string): string => field.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
