import { signal } from '@preact/signals';
import type { Chase, Part, Show, Who } from '../../../../node/show/document.ts';
import { standing, waitsFor, want } from '../edits.ts';
import { withLight } from './lights.ts';

/** Where parts stand: in a look, in a hit, or in a step of a chase. */
export interface PartsPlace {
  readonly kind: 'look' | 'hit' | 'chase';
  readonly id: string;
  /** Of a chase: which of its steps. */
  readonly step?: number;
}

type Steps = Chase['steps'];
type Field = { readonly kind: 'look' | 'hit' | 'chase'; readonly id: string; readonly field: 'parts' | 'steps' };

/** A list in one field of a thing: it is changed on what is wanted of it already, or stands there. */
export const listIn = <One>(field: Field): readonly One[] => (waitsFor(field)?.now ?? standing(field) ?? []) as readonly One[];

export function changeList<One>(field: Field, make: (list: readonly One[]) => readonly One[], gesture?: string): void {
  want({ ...field, now: make(listIn<One>(field)), ...(gesture === undefined ? {} : { gesture }) });
}

export const stepsField = (id: string) => ({ kind: 'chase', id, field: 'steps' }) as const;
const partsField = ({ kind, id }: PartsPlace) => ({ kind, id, field: 'parts' }) as const;

const partsIn = (place: PartsPlace): readonly Part[] =>
  place.kind === 'chase'
    ? (listIn<Steps[number]>(stepsField(place.id))[place.step ?? 0]?.parts ?? [])
    : listIn<Part>(partsField(place));

type MakeParts = (parts: readonly Part[]) => readonly Part[];

export function setParts(place: PartsPlace, make: MakeParts, gesture?: string): void {
  if (place.kind !== 'chase') changeList(partsField(place), make, gesture);
  else
    changeList<Steps[number]>(
      stepsField(place.id),
      (steps) => steps.map((step, i) => (i === place.step ? { ...step, parts: [...make(step.parts)] } : step)),
      gesture,
    );
}

/** A field that is undefined is left out. */
const clean = (part: Part): Part => Object.fromEntries(Object.entries(part).filter(([, value]) => value !== undefined)) as Part;

export type PartChange = { readonly [Name in keyof Part]?: Part[Name] | undefined };

export const setPart = (place: PartsPlace, at: number, what: PartChange | ((part: Part) => PartChange), gesture?: string): void =>
  setParts(
    place,
    (parts) =>
      parts.map((part, i) => (i === at ? clean({ ...part, ...(typeof what === 'function' ? what(part) : what) } as Part) : part)),
    gesture,
  );

/** Lights that do something of their own, lit a little so that they can be seen; the part is open then. */
export function addPart(place: PartsPlace, at: number, who: Part['who']): void {
  openPart(place, at, true);
  setParts(place, (parts) => [...parts, { who, brightness: 'best', level: 0.5 }]);
}

export function takeOutPart(place: PartsPlace, at: number): void {
  closeChoice();
  setParts(place, (parts) => parts.filter((_, i) => i !== at));
}

/** Lights that are being chosen: one choice at a time, since a touch on a lamp in the picture of the room must mean one thing. */
interface Choosing {
  readonly key: string;
  /** Their list is open too. */
  readonly isListed: boolean;
  readonly who: () => readonly Who[];
  readonly touch: (id: string, show: Show) => void;
}
export const choosing = signal<Choosing | undefined>(undefined);
export function closeChoice(): void {
  choosing.value = undefined;
}

const keyOf = ({ kind, id, step }: PartsPlace, at: number): string => `${kind} ${id} ${step ?? ''} ${at}`;
export const isOpened = (place: PartsPlace, at: number): boolean => choosing.value?.key === keyOf(place, at);

/** Opens a part. @param at its place in the list; its length: one that is still to be made. */
export function openPart(place: PartsPlace, at: number, isListed = false): void {
  const who = () => partsIn(place)[at]?.who ?? [];
  choosing.value = {
    key: keyOf(place, at),
    isListed,
    who,
    touch: (id, show) =>
      partsIn(place)[at] === undefined
        ? addPart(place, at, [{ fixture: id }])
        : setPart(place, at, (part) => ({ who: withLight(part.who, id, show) })),
  };
}
