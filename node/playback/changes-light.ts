import type { Change } from '../show/change.ts';
import type { Kind } from '../show/things.ts';

/** What people read and sort by: no item, master or rig that is compiled comes out otherwise for it. */
const words = ['name', 'order'] as const;

/**
 * Fields of things that are but words. The order of lights is none of them, for colours and places are dealt out over lights in their order; nor is that
 * of moments, one of which may begin by itself.
 */
const wordsOf: Readonly<Record<Kind, readonly string[]>> = {
  show: ['name', 'themeName', 'notes', 'demo'],
  themeColour: words,
  fixtureType: ['name', 'maker'],
  fixture: ['name'],
  group: words,
  // Where areas lie over each other, the order of places may say which counts.
  landmark: ['name'],
  look: words,
  chase: words,
  movement: words,
  hit: words,
  button: [...words, 'line'],
  moment: ['name', 'buttons', 'notes'],
};

/** Whether anything that plays, or that a press would play, may look otherwise after these changes. Something new may be pressed. */
export const changesLight = (changes: readonly Change[]): boolean =>
  changes.some((change) => change.do !== 'set' || !wordsOf[change.kind].includes(change.field));
