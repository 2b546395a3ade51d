import { CREW_LIGHT, LIGHTS_UP } from '../core/remote.ts';
import { type Millis, type Seconds, toMillis, type Universe } from '../core/units.ts';
import { isLaser } from '../rig/is-laser.ts';
import { typesWith } from '../rig/library.ts';
import { layOut, type Patched, type Rig } from '../rig/rig.ts';
import { type ItemKey, type ItemKind, itemKey, type Part, type Show } from '../show/document.ts';
import type { BitSet } from './bit-set.ts';
import { chaseProgram } from './chase.ts';
import { movementProgram } from './movement.ts';
import { PartReader, type PartValues } from './parts.ts';
import type { Program } from './program.ts';
import { type Source, unchangedSince } from './reuse.ts';

/**
 * All that playing needs of a show, every name resolved to places in a frame. Plain data throughout (arrays, maps, no functions), so that it
 * can be handed to another thread as it is.
 */
export interface Playbook extends Pick<Show, 'id' | 'masters' | 'tempo' | 'remoteWatch' | 'landmarks' | 'mayRest'> {
  readonly rig: Rig;
  /** The show's own groups, and one for each use of its fixtures: every group has a master. */
  readonly groups: readonly Group[];
  readonly items: ReadonlyMap<ItemKey, Item>;
  /** By id. */
  readonly buttons: ReadonlyMap<string, PlayButton>;
  /** The evening as it is planned, in its order. */
  readonly moments: readonly PlayMoment[];
  /** What plays when the show is started afresh. */
  readonly start: readonly ItemKey[];
  /** Slots that stand as they are: of a show that is lost. */
  readonly picture?: readonly PictureSlots[];
  /** The look that comes when the last remote of an attended show drops; absent: blackout. */
  readonly fallback?: ItemKey;
}

type Group = Pick<Show['groups'][number], 'id' | 'name' | 'fixtures'>;

/** Slots of one universe, slot 1 at index 0. */
export interface PictureSlots {
  readonly universe: Universe;
  readonly slots: Uint8Array;
}

export interface Item {
  readonly kind: ItemKind;
  readonly name: string;
  readonly program: Program;
  /** The fixtures that it speaks of, by their places in the patch. */
  readonly fixtures: BitSet;
  readonly fadeIn: Millis;
  readonly fadeOut: Millis;
  readonly stay: boolean;
  readonly unattended: boolean;
  /** In what its lamps do not do what it asks for, in words. */
  readonly notes: readonly string[];
  /** Hits only: lets go by itself after this. */
  readonly longest?: Millis;
}

/** A button as far as playing goes. */
export interface PlayButton {
  readonly starts: readonly ItemKey[];
  readonly stops: readonly ItemKey[];
  readonly alone: boolean;
}

/** A moment of the evening as far as playing goes. */
export interface PlayMoment extends PlayButton {
  readonly id: string;
  /** Time of day at which it is due. */
  readonly at?: string;
  /** It begins by itself then. */
  readonly automatic: boolean;
}

/** A show made ready to play, with the document that it was made from. */
export interface CompiledShow extends Playbook {
  readonly show: Show;
}

/** The group of all fixtures of a use. */
export const groupOfUse = (use: string): string => `use:${use}`;

/**
 * The lamps of a show as a frame is laid out for them.
 * @throws Error where one has no address yet, or a type that is not there.
 */
export const rigOf = (show: Pick<Show, 'fixtures' | 'fixtureTypes'>): Rig => layOut(patch(show));

/**
 * Takes a show that `show/read.ts` has checked. What was compiled `before` from the very same objects of the document, by themselves and by all
 * that they name, is taken over as it is.
 */
export function compileShow(show: Show, before?: CompiledShow): CompiledShow {
  const sameRig = before?.show.fixtures === show.fixtures && before.show.fixtureTypes === show.fixtureTypes;
  const rig = sameRig ? before.rig : rigOf(show);
  const unchanged = sameRig ? unchangedSince(before.show, show) : new Set<Source>();
  const reader = new PartReader(show, rig);
  const items = new Map<ItemKey, Item>();
  const add = (kind: ItemKind, of: Source, parts: readonly Part[], make: () => Program, longest?: Seconds): void => {
    const key: ItemKey = `${kind}:${of.id}`;
    const old = unchanged.has(of) ? before?.items.get(key) : undefined;
    items.set(key, old ?? itemOf(kind, of, make(), reader, parts, longest));
  };
  for (const look of show.looks) add('look', look, look.parts, () => stillProgram(reader.read(look.parts), true));
  for (const chase of show.chases)
    add(
      'chase',
      chase,
      chase.steps.flatMap(({ parts }) => parts),
      () => chaseProgram(chase, reader),
    );
  for (const movement of show.movements) add('movement', movement, [], () => movementProgram(movement, reader, show.tempo));
  for (const hit of show.hits) add('hit', hit, hit.parts, () => stillProgram(reader.read(hit.parts), false), hit.longest);
  const lightsUp = sameRig ? before.items.get(LIGHTS_UP) : undefined;
  items.set(LIGHTS_UP, lightsUp ?? lightsUpItem(rig, reader));
  items.set(CREW_LIGHT, (sameRig ? before.items.get(CREW_LIGHT) : undefined) ?? crewLightItem(rig, reader));
  const { id, groups, masters, tempo, remoteWatch, fallback, landmarks, mayRest } = show;
  return {
    show,
    id,
    rig,
    items,
    buttons: new Map(
      show.buttons.map(({ id: button, starts, stops, alone }) => [
        button,
        { starts: starts.map(itemKey), stops: stops.map(itemKey), alone },
      ]),
    ),
    moments: show.moments.map(({ id: moment, starts, stops, alone = false, at, automatic = false }) => ({
      id: moment,
      starts: starts.map(itemKey),
      stops: stops.map(itemKey),
      alone,
      ...(at === undefined ? {} : { at }),
      automatic,
    })),
    groups: [...groups, ...groupsOfUses(rig)],
    masters,
    tempo,
    remoteWatch,
    landmarks,
    mayRest,
    start: show.start.map(itemKey),
    ...(fallback === 'blackout' ? {} : { fallback: itemKey(fallback) }),
  };
}

function itemOf(kind: ItemKind, of: Source, program: Program, reader: PartReader, parts: readonly Part[], longest?: Seconds): Item {
  return {
    kind,
    name: of.name,
    program,
    fixtures: reader.placesOf(program.touches),
    fadeIn: toMillis(of.fade),
    fadeOut: toMillis(of.fadeOut ?? of.fade),
    stay: of.stay,
    unattended: of.unattended,
    notes: program.kind === 'movement' ? program.notes : reader.notes(parts),
    ...(longest === undefined ? {} : { longest: toMillis(longest) }),
  };
}

function groupsOfUses({ fixtures }: Rig): Group[] {
  const uses = [...new Set(fixtures.map(({ use }) => use))];
  return uses.map((use) => ({
    id: groupOfUse(use),
    name: use,
    fixtures: fixtures.filter((one) => one.use === use).map(({ id }) => id),
  }));
}

/** Warm white, seconds to come, and how bright: what a room is tidied up in. */
const CALM = { colour: '2700 K', fade: 2, level: 0.8 };
const NOT_CALM: readonly string[] = ['blinder', 'haze'];

/** Heads and blinders stay dark: where a head points nobody has asked just now, and neither is pleasant to look into. */
function lightsUpItem(rig: Rig, reader: PartReader): Item {
  const parts: Parts = [
    { who: [{ all: true }], level: 0, strobe: 0, haze: 0, uv: 0, brightness: 'best' },
    { who: calmIn(rig), level: CALM.level, colour: CALM.colour, brightness: 'best' },
  ];
  return ownItem('lights-up', 'Lights up, calm', parts, reader, true);
}

/** At full, so that nothing that stands still is darker than it was. What turns keeps the light that it has: nobody asks for more in their eyes. */
const crewLightItem = (rig: Rig, reader: PartReader): Item =>
  ownItem(
    'crew-light',
    'Light to work by',
    [{ who: calmIn(rig), level: 1, colour: '4000 K', strobe: 0, uv: 0, brightness: 'best' }],
    reader,
    false,
  );

const calmIn = ({ fixtures }: Rig): Parts[number]['who'] =>
  fixtures
    .filter(
      (fixture) => !NOT_CALM.includes(fixture.use) && !isLaser(fixture) && !fixture.lamps.some(({ cells }) => cells.has('Pan')),
    )
    .map(({ id }) => ({ fixture: id }));

type Parts = Show['looks'][number]['parts'];

/** A look that every node has. @param hides whether what lies wholly under it may leave the stack */
function ownItem(id: string, called: string, parts: Parts, reader: PartReader, hides: boolean): Item {
  const look: Show['looks'][number] = {
    id,
    order: '',
    name: called,
    fade: CALM.fade,
    stay: false,
    unattended: true,
    parts,
  };
  return itemOf('look', look, stillProgram(reader.read(parts), hides), reader, parts);
}

function stillProgram({ cells, values, levels, aims }: PartValues, covering: boolean): Program {
  return { kind: 'still', cells, values, levels, aims, touches: cells, covers: covering ? cells : new Uint32Array() };
}

function patch({ fixtures, fixtureTypes }: Pick<Show, 'fixtures' | 'fixtureTypes'>): Patched[] {
  const types = typesWith(fixtureTypes);
  return fixtures.map((one) => {
    const type = types.get(one.type);
    const mode = type?.modes.find(({ id }) => id === one.mode);
    const { id, universe, address, further, use, pose } = one;
    if (type === undefined || mode === undefined || universe === undefined || address === undefined)
      throw new Error(`fixture ${id} has no address, or there is no type ${one.type} with mode ${one.mode}`);
    return { id, type, mode, universe, address, further, use, adjust: one, pose };
  });
}

/** What the lamps of a button do not do as it asks, in words, each once. */
export const buttonNotes = ({ items, buttons }: Playbook, button: string): string[] => [
  ...new Set((buttons.get(button)?.starts ?? []).flatMap((key) => items.get(key)?.notes ?? [])),
];
