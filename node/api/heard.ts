import type { Listened, Sender } from '../core/heard.ts';
import type { Millis, Universe } from '../core/units.ts';
import { counted, listed } from '../core/words.ts';
import { HeardFrames, type HeardSlots, type StraySlots } from '../dmx/heard-frame.ts';
import { rigOf } from '../playback/compile.ts';
import { named } from '../playback/left-out.ts';
import { takenLook } from '../playback/taken-look.ts';
import { typesWith } from '../rig/library.ts';
import type { Rig } from '../rig/rig.ts';
import type { Show } from '../show/document.ts';
import type { HeardAnswer, HeardSender, TakenLook } from './edit-contract.ts';

/** Senders that are told of, those that reach most lights first. */
const MOST_TOLD = 24;
/** Stretches of stray slots that are named, of each universe. */
const MOST_STRETCHES = 6;

export interface HeardParts {
  /** Listens on these universes for a while. @returns who is heard */
  readonly listen: (universes: readonly Universe[]) => Listened;
  /** The show that is being made, whether it plays or not. */
  readonly show: () => Show;
  /** Where this node is reached. */
  readonly address: () => string;
}

/** What other controllers send, read by the patch of the show that is being made: who they are, and a look of what one of them sends. */
export class Heard {
  readonly #parts: HeardParts;
  #reads: { readonly of: Pick<Show, 'fixtures' | 'fixtureTypes'>; readonly rig: Rig; readonly frames: HeardFrames } | undefined;

  constructor(parts: HeardParts) {
    this.#parts = parts;
  }

  /** @param of the sender of whom a look is wanted too */
  answer(of: string | undefined, now: Millis): HeardAnswer {
    const show = this.#parts.show();
    const { rig, frames } = this.#read(show);
    const { senders, previews, artnet } = this.#parts.listen(rig.universes);
    const told = senders.map((one) => senderOf(one, senders, frames, now)).sort((a, b) => b.lights - a.lights);
    const wanted = senders.find(({ id }) => id === of);
    return {
      senders: told.slice(0, MOST_TOLD),
      previews,
      universes: rig.universes,
      sacnOnly: rig.universes.filter((universe) => !artnet.includes(universe)),
      lights: rig.fixtures.length,
      address: this.#parts.address(),
      ...(wanted === undefined ? {} : { look: lookOf(show, rig, frames, slotsOf(wanted)) }),
    };
  }

  #read(show: Show) {
    const known = this.#reads;
    if (known !== undefined && known.of.fixtures === show.fixtures && known.of.fixtureTypes === show.fixtureTypes) return known;
    const rig = rigOf({ ...show, fixtures: patched(show) });
    const reads = { of: show, rig, frames: new HeardFrames(rig) };
    this.#reads = reads;
    return reads;
  }
}

/** The fixtures that a frame can be laid out for: of an unfinished show those that have an address and a type. */
function patched({ fixtures, fixtureTypes }: Show): Show['fixtures'] {
  const types = typesWith(fixtureTypes);
  return fixtures.filter(
    ({ type, mode, universe, address }) =>
      universe !== undefined && address !== undefined && types.get(type)?.modes.some(({ id }) => id === mode),
  );
}

const slotsOf = ({ universes }: Sender): HeardSlots => new Map(universes.map(({ universe, slots }) => [universe, slots]));

function senderOf(sender: Sender, all: readonly Sender[], frames: HeardFrames, now: Millis): HeardSender {
  const { id, protocol, name, address, universes } = sender;
  const priorities = universes.flatMap(({ priority }) => priority ?? []);
  return {
    ...{ id, protocol, name, address },
    universes: universes.map(({ universe }) => universe),
    ...(priorities.length === 0 ? {} : { priority: Math.max(...priorities) }),
    perSecond: Math.max(...universes.map(({ perSecond }) => perSecond)),
    ago: Math.max(0, now - Math.max(...universes.map(({ lastSeenAt }) => lastSeenAt))),
    lights: frames.covered(slotsOf(sender)).length,
    outranked: outranked(sender, all),
  };
}

/** E1.31-2018 section 6.2.3: universes on which another of them has the higher priority, so that lights follow that. */
const outranked = ({ universes }: Sender, all: readonly Sender[]): Universe[] =>
  universes.flatMap(({ universe, priority = 0 }) =>
    all.some((one) => one.universes.some((other) => other.universe === universe && (other.priority ?? 0) > priority))
      ? [universe]
      : [],
  );

/** What a sender's slots come to on the lights of a show, and in words what of it does not. */
export function lookOf(show: Show, rig: Rig, frames: HeardFrames, heard: HeardSlots): TakenLook {
  const { frame, fixtures, stray } = frames.read(heard);
  const nameOf = (id: string): string => show.fixtures.find((one) => one.id === id)?.name ?? id;
  const { parts, left } = takenLook(show, rig, frame, fixtures);
  return {
    parts,
    left: [...left, ...unheard(rig, fixtures, heard, nameOf), ...stray.map(strayInWords)],
  };
}

/** Which lights are not in the look because they are not heard of, and why. */
function unheard(rig: Rig, covered: Rig['fixtures'], heard: HeardSlots, nameOf: (id: string) => string): string[] {
  const known = new Set(covered);
  const missing = rig.fixtures.filter((one) => !known.has(one));
  if (missing.length === 0) return [];
  const away = rig.universes.filter((universe) => !heard.has(universe));
  const why =
    away.length === 0
      ? 'Not all slots of some lights are sent'
      : `Nothing is heard on universe${away.length === 1 ? '' : 's'} ${listed(away.map(String))}`;
  return [
    `${why}: the look leaves ${named(
      missing.map(({ id }) => id),
      nameOf,
    )} as ${missing.length === 1 ? 'it is' : 'they are'}.`,
  ];
}

/** `3 slots of universe 1 are of no light of yours and are left out: 12 and 40–41.` */
function strayInWords({ universe, slots }: StraySlots): string {
  const stretches: [number, number][] = [];
  for (const slot of slots) {
    const last = stretches.at(-1);
    if (last !== undefined && last[1] === slot - 1) last[1] = slot;
    else stretches.push([slot, slot]);
  }
  const words = stretches.slice(0, MOST_STRETCHES).map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`));
  const rest = stretches.length > MOST_STRETCHES ? ['others'] : [];
  const verb = slots.length === 1 ? 'is' : 'are';
  return `${counted(slots.length, 'slot')} of universe ${universe} ${verb} of no light of yours and left out: ${listed([...words, ...rest])}.`;
}
