import { themeColourIn } from '../light/colour-value.ts';
import type { Show } from '../show/document.ts';

/** What of a document can play. */
export type Source = Show['looks' | 'chases' | 'movements' | 'hits'][number];

/**
 * What would be compiled to the same as before, as long as the rig is the same: of the same object of the document, and naming no group,
 * landmark or theme colour that is another now.
 */
export function unchangedSince(before: Show, now: Show): ReadonlySet<Source> {
  const groups = changed(before.groups, now.groups);
  const colours = changed(before.theme.colours, now.theme.colours);
  const landmarks = changed(before.landmarks, now.landmarks);
  const old = new Set<Source>(sourcesOf(before));
  return new Set(sourcesOf(now).filter((source) => old.has(source) && !mentions(source, groups, colours, landmarks)));
}

const sourcesOf = ({ looks, chases, movements, hits }: Show): Source[] => [...looks, ...chases, ...movements, ...hits];

/** Ids of what is not the same object in both. */
function changed(before: readonly { readonly id: string }[], now: readonly { readonly id: string }[]): ReadonlySet<string> {
  const old = new Set<object>(before);
  const kept = new Set<object>(now);
  return new Set([...before.filter((one) => !kept.has(one)), ...now.filter((one) => !old.has(one))].map(({ id }) => id));
}

function mentions(
  source: Source,
  groups: ReadonlySet<string>,
  colours: ReadonlySet<string>,
  landmarks: ReadonlySet<string>,
): boolean {
  if (groups.size === 0 && colours.size === 0 && landmarks.size === 0) return false;
  const parts = 'steps' in source ? source.steps.flatMap((step) => step.parts) : 'parts' in source ? source.parts : [];
  const speaking = 'who' in source ? [source] : parts;
  const texts = parts.flatMap(({ colour }) => colour ?? []);
  return (
    speaking.some(({ aim }) => aim !== undefined && 'landmark' in aim && landmarks.has(aim.landmark)) ||
    speaking.some(({ who }) => who.some((one) => 'group' in one && groups.has(one.group))) ||
    texts.some((text) => colours.has(themeColourIn(text) ?? ''))
  );
}
